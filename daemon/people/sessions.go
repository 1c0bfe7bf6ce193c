package people

import (
	"fmt"
	"slices"
	"time"
)

// How long a session lasts: one that nobody uses half a day, whatever happens a
// week (own choice; NIST SP 800-63B-4 allows a day and 30 days at its lowest level,
// from memory).
const (
	Idle     = 12 * time.Hour
	Absolute = 7 * 24 * time.Hour
)

const (
	// seenEvery is how often a use is written down: a card of a Pi wears out, and
	// a restart may cost a session that much of its idle time.
	seenEvery = 10 * time.Minute
	// perPerson is more browsers than one person has.
	perPerson = 20
	// clockSlack is how far the clock may have been set back, by a machine that
	// had no clock at its start, before a session is not believed.
	clockSlack = 24 * time.Hour
	// sessionsFile is in the folder of the record.
	sessionsFile = "sessions"
)

// session is one browser in which somebody is signed in.
type session struct {
	Sum     string    `json:"token_sha256"`
	Name    string    `json:"name"`
	Role    string    `json:"role"`
	Edition string    `json:"edition"` // of the password it was opened with
	Began   time.Time `json:"began"`
	Seen    time.Time `json:"seen"`
}

// over reports whether a session has lasted long enough.
func (s session) over(now time.Time) bool {
	return now.Sub(s.Seen) >= Idle || now.Sub(s.Began) >= Absolute || s.Began.Sub(now) > clockSlack
}

// sessions are those that last, by the sum of their token.
type sessions struct {
	path    string
	open    map[string]*session
	written time.Time // of the file
}

func openSessions(path string) (*sessions, error) {
	var all []session
	if err := readFile(path, &all); err != nil {
		return nil, fmt.Errorf("read the sessions: %w", err)
	}
	s := &sessions{path: path, open: map[string]*session{}}
	for _, one := range all {
		s.open[one.Sum] = &one
	}
	return s, nil
}

// begin opens a session and returns its token.
func (s *sessions) begin(p Person, edition string, now time.Time) string {
	s.makeRoom(p.Name)
	token := newToken()
	one := &session{Sum: sumOf(token), Name: p.Name, Role: p.Role.String(), Edition: edition, Began: now, Seen: now}
	s.open[one.Sum] = one
	return token
}

// makeRoom ends the session of name that was not used for longest, if there are
// more than anybody needs.
func (s *sessions) makeRoom(name string) {
	var own []*session
	for _, one := range s.open {
		if one.Name == name {
			own = append(own, one)
		}
	}
	if len(own) < perPerson {
		return
	}
	stalest := slices.MinFunc(own, func(a, b *session) int { return a.Seen.Compare(b.Seen) })
	delete(s.open, stalest.Sum)
}

// sweep ends the sessions that do not last.
func (s *sessions) sweep(lasts func(*session) bool) {
	for sum, one := range s.open {
		if !lasts(one) {
			delete(s.open, sum)
		}
	}
}

// write keeps the sessions over a restart.
func (s *sessions) write(now time.Time) error {
	all := make([]session, 0, len(s.open))
	for _, one := range s.open {
		all = append(all, *one)
	}
	slices.SortFunc(all, func(a, b session) int { return a.Began.Compare(b.Began) })
	s.written = now
	if err := writeFile(s.path, all); err != nil {
		return fmt.Errorf("write the sessions: %w", err)
	}
	return nil
}

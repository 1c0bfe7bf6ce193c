package record

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"
	"unicode"

	"bainward/rules/alarm"
)

// The states of a call in the record; the first is Opened, as of a batch.
const (
	Answered = "answered" // by somebody
	Over     = "over"     // nobody had to answer
)

// Call is something that wants a person: opened, answered or over. Its entry is
// of the alarm's bath, or of the site.
type Call struct {
	State    string `json:"state"` // Opened, Answered or Over
	ID       string `json:"id"`
	About    string `json:"about,omitempty"`    // opened: the alarm, or a matter of the site
	Priority string `json:"priority,omitempty"` // opened: a word of alarm.Priority
	Fact     string `json:"fact,omitempty"`     // opened: in a few words
	Do       string `json:"do,omitempty"`       // opened: what to do about it
	How      string `json:"how,omitempty"`      // ended: by what
	By       string `json:"by,omitempty"`       // ended: who answered
	Via      string `json:"via,omitempty"`      // ended: through what they did
}

// Kind returns KindCall.
func (Call) Kind() Kind { return KindCall }

func (b Call) check() error {
	switch {
	case b.ID == "":
		return errors.New("the call has no id")
	case b.State == Opened && b.About == "":
		return fmt.Errorf("call %q is about nothing", b.ID)
	case b.State == Opened:
		_, err := parseWord[alarm.Priority]("priority", b.Priority, "")
		return err
	case b.State != Answered && b.State != Over:
		return fmt.Errorf("call state %q: want %q, %q or %q", b.State, Opened, Answered, Over)
	case b.How == "":
		return fmt.Errorf("call %q: it does not say how it ended", b.ID)
	}
	return nil
}

// Notice is a message to a person that is due: recorded before it is sent. Its
// entry is of the bath that it is about, or of the site if there are several.
type Notice struct {
	ID       string    `json:"id"`
	Calls    []string  `json:"calls,omitempty"` // ids of all calls that it tells of; none: a proof
	Contact  string    `json:"contact"`
	Channel  string    `json:"channel"`
	Why      string    `json:"why"`             // raised, again, over, proof or watcher
	Alarm    string    `json:"alarm,omitempty"` // empty: none, or several
	Priority string    `json:"priority"`        // a word of alarm.Priority
	Title    string    `json:"title"`
	Text     string    `json:"text"`
	Quiet    bool      `json:"quiet,omitempty"` // wakes nobody
	By       string    `json:"by,omitempty"`    // of a proof: who asked for it
	Sampled  time.Time `json:"sampled"`         // wall time of the sample behind it
}

// Kind returns KindNotice.
func (Notice) Kind() Kind { return KindNotice }

func (b Notice) check() error {
	if b.ID == "" || b.Contact == "" || b.Channel == "" || b.Why == "" {
		return fmt.Errorf("notice %q to %q through %q, why %q: it lacks one of these", b.ID, b.Contact, b.Channel, b.Why)
	}
	_, err := parseWord[alarm.Priority]("priority", b.Priority, "")
	return err
}

// The results of an attempt.
const (
	Delivered = "delivered" // the far end has it
	Failed    = "failed"    // it will be tried again
	GaveUp    = "gave-up"   // it will not, and nobody has it
	Withdrawn = "withdrawn" // it was not needed any more
)

// Attempt is how one try to deliver a notice went. Make it with AttemptOf.
type Attempt struct {
	Notice string        `json:"notice"` // its id
	Try    int           `json:"try"`    // which one, from 1; 0: there was none
	Result string        `json:"result"` // one of the words above
	Said   string        `json:"said,omitempty"`
	Next   time.Duration `json:"next_ns,omitempty"` // until the next try, of Failed
}

// maxSaid bounds, in bytes, what a far end can write into the record.
const maxSaid = 400

// AttemptOf returns the body that tells of a try. said, which must hold no
// secret, is put on one line and cut to what the record keeps.
func AttemptOf(notice string, try int, result, said string, next time.Duration) Attempt {
	said = strings.Join(strings.FieldsFunc(strings.ToValidUTF8(said, "\uFFFD"), func(r rune) bool {
		return unicode.IsSpace(r) || unicode.IsControl(r)
	}), " ")
	if len(said) > maxSaid {
		said = strings.ToValidUTF8(said[:maxSaid-len("…")], "") + "…"
	}
	return Attempt{Notice: notice, Try: try, Result: result, Said: said, Next: next}
}

// Kind returns KindAttempt.
func (Attempt) Kind() Kind { return KindAttempt }

func (b Attempt) check() error {
	switch {
	case b.Notice == "":
		return errors.New("the attempt names no notice")
	case b.Try < 0 || b.Next < 0:
		return fmt.Errorf("attempt %d of notice %q, the next in %s: neither can be below 0", b.Try, b.Notice, b.Next)
	case !slices.Contains([]string{Delivered, Failed, GaveUp, Withdrawn}, b.Result):
		return fmt.Errorf("unknown result %q of an attempt", b.Result)
	case len(b.Said) > maxSaid:
		return fmt.Errorf("%d bytes were said of notice %q, at most %d are kept: make it with AttemptOf", len(b.Said), b.Notice, maxSaid)
	}
	return nil
}

// CallsLookBack is how far back, in offsets, Calls goes. A notice is given up
// after a day at most, and a batch is over within one, so that what is a week
// old is either settled or an alarm that still stands. For those, tell the calls
// after a restart how every alarm stands: that opens anew what was forgotten.
const CallsLookBack = 7 * 24 * time.Hour

// Calls goes through the calls, notices and attempts of the site and of all
// baths that can still matter, in order: those of the last CallsLookBack. It
// takes no time for the readings between them.
func (r *Reader) Calls(ctx context.Context) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		seqs, err := r.callSeqs(ctx)
		if err != nil {
			yield(Entry{}, fmt.Errorf("read calls: %w", err))
			return
		}
		for some := range slices.Chunk(seqs, pageRows) {
			page, err := r.numbered(ctx, some)
			for _, e := range page {
				if !yield(e, nil) {
					return
				}
			}
			if err != nil {
				yield(Entry{}, fmt.Errorf("read calls: %w", err))
				return
			}
		}
	}
}

// numbered returns the entries of these numbers, which are no readings.
func (r *Reader) numbered(ctx context.Context, seqs []int64) ([]Entry, error) {
	list, err := json.Marshal(seqs)
	if err != nil {
		return nil, err
	}
	rows, err := r.db.QueryContext(ctx, entrySQL+"WHERE seq IN (SELECT value FROM json_each(?)) ORDER BY seq", string(list))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	page := make([]Entry, 0, len(seqs))
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return page, err
		}
		page = append(page, e)
	}
	return page, rows.Err()
}

// callSeqs lists the numbers of the entries that Calls goes through. They come
// from the index alone.
func (r *Reader) callSeqs(ctx context.Context) ([]int64, error) {
	end, err := r.Last(ctx)
	if err != nil || end.Seq == 0 {
		return nil, err
	}
	from, err := r.seqAt(ctx, end.At-CallsLookBack, end.Seq)
	if err != nil {
		return nil, err
	}
	rows, err := r.db.QueryContext(ctx, callSeqsSQL, from)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var seqs []int64
	for rows.Next() {
		var seq int64
		if err := rows.Scan(&seq); err != nil {
			return nil, err
		}
		seqs = append(seqs, seq)
	}
	return seqs, rows.Err()
}

// callSeqsSQL asks the index bath by bath, because in it numbers are in order
// within one kind and one bath only. CROSS JOIN keeps that order of loops.
const callSeqsSQL = `
SELECT e.seq
FROM (SELECT 'call' AS word UNION ALL SELECT 'notice' UNION ALL SELECT 'attempt') k
CROSS JOIN (SELECT NULL AS id UNION ALL SELECT id FROM bath) b
CROSS JOIN entry e INDEXED BY entry_of ON e.kind = k.word AND e.bath IS b.id AND e.seq >= ?
ORDER BY e.seq`

package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// Bounds of what a request may carry: far more than a person writes.
const (
	maxText = 500 // characters
	maxWho  = 40  // characters
)

type eventRequest struct {
	Event    string `json:"event"`
	Quantity string `json:"quantity"`
	Text     string `json:"text"`
	Who      string `json:"who"`
}

func (s *server) doEvent(w http.ResponseWriter, r *http.Request) {
	var in eventRequest
	b, ok := s.begin(w, r, &in)
	if !ok || !plain(w, "text", in.Text, maxText) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	if in.Quantity != "" && in.Text != "" {
		writeError(w, http.StatusBadRequest, "an event has a quantity or a text, not both")
		return
	}
	e, err := rules.ParseEvent(in.Event + " " + in.Quantity + in.Text)
	if err == nil && strings.ContainsAny(in.Event, " \t") {
		err = fmt.Errorf("event %q: put the amount under \"quantity\"", in.Event)
	}
	if err == nil && e.Kind != rules.Note && in.Text != "" {
		err = fmt.Errorf("event %q takes no text", in.Event)
	}
	if err != nil {
		writeError(w, http.StatusBadRequest, err.Error())
		return
	}
	s.finish(w, r, "recorded: "+e.String(), s.doer.Event(r.Context(), b.Bath, e, in.Who))
}

type voidRequest struct {
	Entry  int64  `json:"entry"`
	Reason string `json:"reason"`
	Who    string `json:"who"`
}

func (s *server) doVoid(w http.ResponseWriter, r *http.Request) {
	var in voidRequest
	b, ok := s.begin(w, r, &in)
	if !ok || !plain(w, "reason", in.Reason, maxText) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	if in.Entry < 0 || strings.TrimSpace(in.Reason) == "" {
		writeError(w, http.StatusBadRequest, "to take an entry back, give its number and a reason")
		return
	}
	err := s.doer.Void(r.Context(), b.Bath, in.Entry, strings.TrimSpace(in.Reason), in.Who)
	s.finish(w, r, fmt.Sprintf("taken back: entry %d", in.Entry), err)
}

type alarmRequest struct {
	Alarm  string `json:"alarm"`
	Action string `json:"action"`
	ForS   int64  `json:"for_s"`
	Reason string `json:"reason"`
	Who    string `json:"who"`
}

// maxFor bounds for_s before it becomes a Duration, which holds 292 years; how
// long an alarm may be shelved is for the rules to say.
const maxFor = 365 * 24 * 3600

func (s *server) doAlarm(w http.ResponseWriter, r *http.Request) {
	var in alarmRequest
	b, ok := s.begin(w, r, &in)
	if !ok || !plain(w, "reason", in.Reason, maxText) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	id, known := rules.ParseID(in.Alarm)
	if !known {
		writeError(w, http.StatusBadRequest, fmt.Sprintf("no alarm %q; GET /api/baths names them", in.Alarm))
		return
	}
	action, known := alarm.ParseAction(in.Action)
	if !known {
		writeError(w, http.StatusBadRequest, fmt.Sprintf("no action %q; want acknowledge, shelve, unshelve, reset, out-of-service or return-to-service", in.Action))
		return
	}
	if in.ForS < 0 || in.ForS > maxFor {
		writeError(w, http.StatusBadRequest, fmt.Sprintf("for_s %d: want seconds from 0 to %d", in.ForS, maxFor))
		return
	}
	c := alarm.Command{Alarm: id, Action: action, For: time.Duration(in.ForS) * time.Second, Reason: strings.TrimSpace(in.Reason)}
	s.finish(w, r, fmt.Sprintf("%s: %s", action, id), s.doer.Alarm(r.Context(), b.Bath, c, in.Who))
}

type recipeRequest struct {
	Recipe string `json:"recipe"`
	Who    string `json:"who"`
}

func (s *server) doRecipe(w http.ResponseWriter, r *http.Request) {
	var in recipeRequest
	b, ok := s.begin(w, r, &in)
	if !ok || !plain(w, "recipe", in.Recipe, maxText) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	if in.Recipe == "" {
		writeError(w, http.StatusBadRequest, "name a recipe; GET /api/recipes lists them")
		return
	}
	s.finish(w, r, "recipe: "+in.Recipe, s.doer.Recipe(r.Context(), b.Bath, in.Recipe, in.Who))
}

// begin finds the bath and reads the body into in, or has answered why not.
func (s *server) begin(w http.ResponseWriter, r *http.Request, in any) (fold.Snapshot, bool) {
	b, ok := s.apiFind(w, r)
	return b, ok && readJSON(w, r, in)
}

// plain reports whether text may go into the record: of bearable length and
// without control characters, or it has answered why not.
func plain(w http.ResponseWriter, field, text string, most int) bool {
	switch {
	case !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl):
		writeError(w, http.StatusBadRequest, field+" holds a control character or a line break: write it on one line")
	case utf8.RuneCountInString(text) > most:
		writeError(w, http.StatusBadRequest, fmt.Sprintf("%s is longer than %d characters", field, most))
	default:
		return true
	}
	return false
}

// finish tells what came of a change. A refusal of the Doer is a conflict with
// the state of the bath, and its words are for the person.
func (s *server) finish(w http.ResponseWriter, r *http.Request, done string, err error) {
	if err != nil {
		s.log.Warn("refused", "path", r.URL.Path, "err", err)
		writeError(w, http.StatusConflict, err.Error())
		return
	}
	s.sendJSON(w, map[string]string{"done": done})
}

package dashboards

import (
	"fmt"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// AlarmWords is one alarm as people read it.
type AlarmWords struct {
	ID       string `json:"alarm"`
	Open     bool   `json:"open"`
	State    string `json:"state"`
	Priority string `json:"priority"`
	Says     string `json:"says"` // state and duration in plain words
	Text     string `json:"text"`
	Advice   string `json:"advice"`
	Within   string `json:"within"` // how long there is to do it
	CanAck   bool   `json:"can_acknowledge"`
	CanReset bool   `json:"can_reset"`
	Shelved  bool   `json:"shelved"`
	Out      bool   `json:"out_of_service"`

	Means string        `json:"-"` // what is the matter, whatever the numbers
	Why   string        `json:"-"` // what comes of it if nobody does anything
	For   time.Duration `json:"-"` // how long it has been in this state
}

// Alarms returns every alarm: the open ones first, gravest first, then the
// others in the order of the rules. All are returned because a page holds a
// place for each.
func Alarms(s fold.Snapshot) []AlarmWords {
	words := make([]AlarmWords, 0, rules.IDCount)
	open := s.Open()
	for _, id := range open {
		words = append(words, alarmWords(s, id))
	}
	for id := range rules.IDCount {
		if !s.Alarms[id].State.Open() {
			words = append(words, alarmWords(s, id))
		}
	}
	return words
}

func alarmWords(s fold.Snapshot, id rules.ID) AlarmWords {
	a := s.Alarms[id]
	limits := rules.DefaultLimits() // of these words only Within of top-up-due hangs on them
	card := alarm.CardOf(id, &limits, s.Units)
	return AlarmWords{
		ID: id.String(), Open: a.State.Open(),
		State: a.State.String(), Priority: a.Priority.String(),
		Says: stateSentence(s, a), Text: a.Text, Advice: a.Advice,
		Within: within(s, id, card), Means: card.Means, Why: card.Why,
		CanAck:   wantsPerson(a.State),
		CanReset: a.State == alarm.LatchedAcknowledged,
		Shelved:  a.State == alarm.Shelved,
		Out:      a.State == alarm.OutOfService,
		For:      max(0, s.At-a.Since),
	}
}

// within says how long there is to do something: where the rules reckon it, what
// they reckon.
func within(s fold.Snapshot, id rules.ID, card alarm.Card) string {
	if id == rules.TopUpDue && s.Estimate.ToBareS.Known() {
		return until(s.Estimate.ToBareS, "none left: by reckoning the base is bare")
	}
	return card.Within
}

// wantsPerson reports whether nobody has acknowledged the alarm yet (IEC 62682,
// the unacknowledged states).
func wantsPerson(s alarm.State) bool {
	return s == alarm.Unacknowledged || s == alarm.ReturnedUnacknowledged || s == alarm.LatchedUnacknowledged
}

func stateSentence(s fold.Snapshot, a fold.Standing) string {
	since := rules.Minutes(max(0, s.At-a.Since))
	switch a.State {
	case alarm.Unacknowledged:
		return "nobody has acknowledged it, for " + since
	case alarm.Acknowledged:
		return "acknowledged " + since + " ago, still so"
	case alarm.ReturnedUnacknowledged:
		return "over since " + since + ", nobody has acknowledged it"
	case alarm.LatchedUnacknowledged:
		return "the cause is gone since " + since + "; it stays until somebody acknowledges it"
	case alarm.LatchedAcknowledged:
		return "acknowledged; the cause is gone; reset it when you have looked"
	case alarm.Shelved:
		return fmt.Sprintf("shelved, comes back in %s", rules.Minutes(max(0, a.Until-s.At)))
	case alarm.SuppressedByDesign:
		return "not looked for in this phase"
	case alarm.OutOfService:
		return "out of service for " + since + ": it calls nobody"
	}
	return "normal"
}

// Shelves are the minutes for which a page offers to shelve an alarm.
func (AlarmWords) Shelves() []int {
	var minutes []int
	for _, m := range [...]int{10, 5, 20, 30} { // the first is offered first
		if time.Duration(m)*time.Minute <= alarm.MaxShelf {
			minutes = append(minutes, m)
		}
	}
	return minutes
}

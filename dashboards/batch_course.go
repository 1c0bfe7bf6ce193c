package dashboards

import (
	"fmt"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// CourseView is how a batch went at the bath, in words.
type CourseView struct {
	Trouble string // why nothing can be said; empty: all is well
	Passes  []PassRow
	Phases  []PhaseRow
	Facts   []Fact
	Calls   []CallRow
	Deeds   []DeedRow
}

// PassRow is how one maceration went.
type PassRow struct {
	Pass     int
	From, To time.Time
	Hold     string
	Hottest  string
	Verdict  string // a word of rules.Verdict
	Says     string
}

// PhaseRow is the batch coming into a phase.
type PhaseRow struct {
	When  time.Time
	Phase string
	Pass  int
}

// CallRow is an alarm that called somebody.
type CallRow struct {
	Alarm, Priority string
	Raised          time.Time
	By              string
}

// DeedRow is what somebody did at the bath.
type DeedRow struct {
	When   time.Time
	Text   string
	Who    string
	Voided bool
	Why    string
}

func courseView(u rules.Units, d BatchData) CourseView {
	c := d.Course
	v := CourseView{Trouble: d.CourseTrouble}
	if v.Trouble != "" {
		return v
	}
	hottest := func(c *float64) string {
		if c == nil {
			return notKnown
		}
		return u.Temp(*c)
	}
	for _, p := range c.Passes {
		v.Passes = append(v.Passes, PassRow{
			Pass: p.Pass, From: p.From, To: p.To, Hold: heldFor(p.HoldS, p.AskedS), Hottest: hottest(p.OilMaxC),
			Verdict: p.Verdict, Says: verdictWords(p.Verdict),
		})
	}
	for _, p := range c.Phases {
		v.Phases = append(v.Phases, PhaseRow{p.When, p.Phase, p.Pass})
	}
	for _, a := range c.Called {
		v.Calls = append(v.Calls, CallRow{a.Alarm, a.Priority, a.Raised, a.By})
	}
	for _, e := range c.Deeds {
		v.Deeds = append(v.Deeds, DeedRow{e.When, deedWords(u, e.Text), e.Who, e.Voided, e.Why})
	}
	if len(c.Phases) == 0 && len(c.Passes) == 0 {
		return v
	}
	if len(c.Passes) == 0 {
		v.Facts = append(v.Facts, Fact{"Hold", heldFor(c.HoldS, c.AskedS)}, Fact{"Hottest oil", hottest(c.OilMaxC)})
	}
	v.Facts = append(v.Facts, Fact{"Top-ups", fmt.Sprint(c.TopUps)}, Fact{"Alarms that called", alarmsCalled(c)})
	return v
}

// deedWords says an event in the site's units; a note is what somebody wrote, and
// stays.
func deedWords(u rules.Units, text string) string {
	e, err := rules.ParseEvent(text)
	if err != nil || e.Kind == rules.Note || !e.Quantity.Given() {
		return text
	}
	return e.Kind.String() + " " + amountWords(u, ledger.Amount(e.Quantity))
}

func heldFor(held, asked float64) string {
	text := rules.Minutes(seconds(held))
	if asked > 0 {
		text += " of " + rules.Minutes(seconds(asked))
	}
	return text
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func alarmsCalled(c ledger.Course) string {
	if c.Alarms == 0 {
		return "none"
	}
	var kinds []string
	for _, k := range c.AlarmKind {
		kinds = append(kinds, fmt.Sprintf("%s × %d", k.Alarm, k.Times))
	}
	return strings.Join(kinds, ", ")
}

package alarm_test

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// desk is one alarm under test: findings go in each second, and people act.
type desk struct {
	t    *testing.T
	id   rules.ID
	book alarm.Book
	at   time.Duration
	// silent: the alarm is suppressed by design.
	silent bool
	last   []alarm.Change // of the step or action just made
}

func newDesk(t *testing.T, id rules.ID) *desk { return &desk{t: t, id: id} }

// says lets the rule say so for so long, second by second.
func (d *desk) says(level rules.Level, lasts time.Duration) {
	d.t.Helper()
	var found rules.Findings
	found[d.id] = rules.Finding{Level: level, A: 1, B: 2}
	for range lasts / time.Second {
		d.at += time.Second
		var out alarm.Changes
		d.book.Step(d.at, &found, func(id rules.ID) bool { return d.silent && id == d.id }, &out)
		d.last = out.All()
	}
}

// comes and goes: the cause lasts long enough for any delay.
func (d *desk) comes() { d.t.Helper(); d.says(rules.Raised, 2*time.Minute) }
func (d *desk) goes()  { d.t.Helper(); d.says(rules.Clear, 2*time.Minute) }

func (d *desk) order(c alarm.Command) error {
	c.Alarm = d.id
	var out alarm.Changes
	err := d.book.Do(d.at, c, &out)
	d.last = out.All()
	return err
}

// does carries out an action that must be granted.
func (d *desk) does(a alarm.Action) {
	d.t.Helper()
	c := alarm.Command{Action: a, Reason: "the probe is being mended"}
	if a == alarm.Shelve {
		c.For = 10 * time.Minute
	}
	if err := d.order(c); err != nil {
		d.t.Fatal(err)
	}
}

func (d *desk) is(want alarm.State) {
	d.t.Helper()
	if got := d.book.State(d.id); got != want {
		d.t.Fatalf("%s is %s after %s, want %s", d.id, got, d.at, want)
	}
}

// The transitions of the state diagram in IEC 62682 and ANSI/ISA-18.2, by its
// letters; plain is an alarm that does not latch, latch one that does.
func TestTheStateDiagram(t *testing.T) {
	const plain, latch = rules.OffTheSimmer, rules.BoilingDry
	for _, c := range []struct {
		arrow string
		id    rules.ID
		do    func(d *desk)
		ends  alarm.State
	}{
		{"A→B it occurs", plain, func(d *desk) { d.comes() }, alarm.Unacknowledged},
		{"B→C acknowledged", plain, func(d *desk) { d.comes(); d.does(alarm.Acknowledge) }, alarm.Acknowledged},
		{"B→D it clears", plain, func(d *desk) { d.comes(); d.goes() }, alarm.ReturnedUnacknowledged},
		{"C→A it clears", plain, func(d *desk) { d.comes(); d.does(alarm.Acknowledge); d.goes() }, alarm.Normal},
		{"D→A acknowledged", plain, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge) }, alarm.Normal},
		{"D→B it occurs again", plain, func(d *desk) { d.comes(); d.goes(); d.comes() }, alarm.Unacknowledged},
		{"B→E it clears, latched", latch, func(d *desk) { d.comes(); d.goes() }, alarm.LatchedUnacknowledged},
		{"E→B it occurs again", latch, func(d *desk) { d.comes(); d.goes(); d.comes() }, alarm.Unacknowledged},
		{"E→F acknowledged", latch, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge) }, alarm.LatchedAcknowledged},
		{"C→F it clears, latched", latch, func(d *desk) { d.comes(); d.does(alarm.Acknowledge); d.goes() }, alarm.LatchedAcknowledged},
		{"F→A reset", latch, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge); d.does(alarm.Reset) }, alarm.Normal},
		{"F→B it occurs again", latch, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge); d.comes() }, alarm.Unacknowledged},
		{"A→G shelved", plain, func(d *desk) { d.does(alarm.Shelve) }, alarm.Shelved},
		{"B→G shelved", plain, func(d *desk) { d.comes(); d.does(alarm.Shelve) }, alarm.Shelved},
		{"C→G shelved", plain, func(d *desk) { d.comes(); d.does(alarm.Acknowledge); d.does(alarm.Shelve) }, alarm.Shelved},
		{"D→G shelved", plain, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Shelve) }, alarm.Shelved},
		{"E→G shelved", latch, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Shelve) }, alarm.Shelved},
		{"F→G shelved", latch, func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge); d.does(alarm.Shelve) }, alarm.Shelved},
		{"G→G it occurs while shelved", plain, func(d *desk) { d.does(alarm.Shelve); d.comes() }, alarm.Shelved},
		{"G→A unshelved", plain, func(d *desk) { d.does(alarm.Shelve); d.does(alarm.Unshelve) }, alarm.Normal},
		{"G→B unshelved while it stands", plain, func(d *desk) { d.does(alarm.Shelve); d.comes(); d.does(alarm.Unshelve) }, alarm.Unacknowledged},
		{"A→H suppressed", plain, func(d *desk) { d.silent = true; d.goes() }, alarm.SuppressedByDesign},
		{"B→H suppressed", plain, func(d *desk) { d.comes(); d.silent = true; d.comes() }, alarm.SuppressedByDesign},
		{"G→H suppressed", plain, func(d *desk) { d.does(alarm.Shelve); d.silent = true; d.comes() }, alarm.SuppressedByDesign},
		{"H→A not suppressed any more", plain, func(d *desk) { d.silent = true; d.comes(); d.silent = false; d.goes() }, alarm.Normal},
		{"H→B it stands when no longer suppressed", plain, func(d *desk) { d.silent = true; d.comes(); d.silent = false; d.comes() }, alarm.Unacknowledged},
		{"A→I out of service", plain, func(d *desk) { d.does(alarm.PutOutOfService) }, alarm.OutOfService},
		{"B→I out of service", plain, func(d *desk) { d.comes(); d.does(alarm.PutOutOfService) }, alarm.OutOfService},
		{"I→I it occurs out of service", plain, func(d *desk) { d.does(alarm.PutOutOfService); d.comes() }, alarm.OutOfService},
		{"I→I suppression does not matter", plain, func(d *desk) { d.does(alarm.PutOutOfService); d.silent = true; d.comes() }, alarm.OutOfService},
		{"I→A back in service", plain, func(d *desk) { d.does(alarm.PutOutOfService); d.does(alarm.ReturnToService) }, alarm.Normal},
		{"I→B back in service while it stands", plain, func(d *desk) { d.does(alarm.PutOutOfService); d.comes(); d.does(alarm.ReturnToService) }, alarm.Unacknowledged},
	} {
		t.Run(c.arrow, func(t *testing.T) {
			d := newDesk(t, c.id)
			c.do(d)
			d.is(c.ends)
		})
	}
}

func TestAChangeTellsFromWhereToWhereAndWhy(t *testing.T) {
	d := newDesk(t, rules.BoilingDry)
	d.says(rules.Raised, 4*time.Second) // its on-delay is 3 s
	want := alarm.Change{
		Alarm: rules.BoilingDry, From: alarm.Normal, To: alarm.Unacknowledged, Priority: alarm.Critical,
		Finding: rules.Finding{Level: rules.Raised, A: 1, B: 2},
	}
	if len(d.last) != 1 || d.last[0] != want {
		t.Errorf("got %+v, want %+v", d.last, want)
	}
	if since := d.book.Since(rules.BoilingDry); since != d.at {
		t.Errorf("unacknowledged since %s, want %s", since, d.at)
	}
	d.says(rules.Raised, time.Second)
	if len(d.last) != 0 {
		t.Errorf("a standing alarm changed again: %+v", d.last)
	}
}

func TestAShelfRunsOutByItself(t *testing.T) {
	d := newDesk(t, rules.OffTheSimmer)
	d.comes()
	if err := d.order(alarm.Command{Action: alarm.Shelve, For: 5 * time.Minute, Reason: "lid off on purpose"}); err != nil {
		t.Fatal(err)
	}
	if until := d.book.Until(d.id); until != d.at+5*time.Minute {
		t.Errorf("shelved until %s, want %s", until, d.at+5*time.Minute)
	}
	d.says(rules.Raised, 5*time.Minute-time.Second)
	d.is(alarm.Shelved)
	d.says(rules.Raised, time.Second)
	d.is(alarm.Unacknowledged) // the cause stands, and a person must hear of it again

	d.does(alarm.Shelve)
	d.says(rules.Clear, 10*time.Minute)
	d.is(alarm.Normal)
}

func TestAnAcknowledgedAlarmComesBackFromTheShelfUnacknowledged(t *testing.T) {
	d := newDesk(t, rules.OffTheSimmer)
	d.comes()
	d.does(alarm.Acknowledge)
	d.does(alarm.Shelve)
	d.says(rules.Raised, 10*time.Minute)
	d.is(alarm.Unacknowledged)
}

func TestWhatWasSuppressedIsJudgedAnew(t *testing.T) {
	d := newDesk(t, rules.DishBare)
	d.comes()
	d.silent = true
	d.says(rules.NotEvaluated, time.Minute)
	d.silent = false
	d.says(rules.NotEvaluated, time.Hour)
	d.is(alarm.Normal) // what stood before the strain is no news in the next maceration
}

func TestANewBatchBeginsWithAllNormalButWhatIsOutOfService(t *testing.T) {
	var b alarm.Book
	var found rules.Findings
	for id := range rules.IDCount {
		found[id] = rules.Finding{Level: rules.Raised}
	}
	for at := time.Duration(0); at < 2*time.Minute; at += time.Second {
		b.Step(at, &found, nil, &alarm.Changes{})
	}
	if err := b.Do(2*time.Minute, alarm.Command{Alarm: rules.ProbeSilent, Action: alarm.PutOutOfService, Reason: "no oil probe today"}, &alarm.Changes{}); err != nil {
		t.Fatal(err)
	}
	var out alarm.Changes
	b.Clear(3*time.Minute, &out)
	for id := range rules.IDCount {
		want := alarm.Normal
		if id == rules.ProbeSilent {
			want = alarm.OutOfService
		}
		if got := b.State(id); got != want {
			t.Errorf("%s is %s, want %s", id, got, want)
		}
	}
	if got, want := len(out.All()), int(rules.IDCount)-1; got != want {
		t.Errorf("%d changes are told, want %d", got, want)
	}
}

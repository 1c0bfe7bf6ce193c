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

// A change names both states, the priority and what the rule said; one that
// stands is told once.
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

// A shelf ends after its time: what stands calls again, what went does not.
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

// Who shelved an alarm that he had acknowledged is called again afterwards.
func TestAnAcknowledgedAlarmComesBackFromTheShelfUnacknowledged(t *testing.T) {
	d := newDesk(t, rules.OffTheSimmer)
	d.comes()
	d.does(alarm.Acknowledge)
	d.does(alarm.Shelve)
	d.says(rules.Raised, 10*time.Minute)
	d.is(alarm.Unacknowledged)
}

// What stood before a suppression must be found again after it.
func TestWhatWasSuppressedIsJudgedAnew(t *testing.T) {
	d := newDesk(t, rules.DishBare)
	d.comes()
	d.silent = true
	d.says(rules.NotEvaluated, time.Minute)
	d.silent = false
	d.says(rules.NotEvaluated, time.Hour)
	d.is(alarm.Normal) // what stood before the strain is no news in the next maceration
}

// A new batch begins with all normal, but for what waits for a person to mend
// it.
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

// A cause that outlives the batch in which it came calls again in the next one,
// though nobody answered it in the old.
func TestWhatStandsCallsAgainInTheNewBatch(t *testing.T) {
	d := newDesk(t, rules.BoilingDry)
	d.comes()
	d.book.Clear(d.at, &alarm.Changes{})
	d.is(alarm.Normal)
	d.says(rules.Raised, alarm.Of(d.id).OnDelay+time.Second)
	d.is(alarm.Unacknowledged)
}

// A dry pan that was seen on the shelf and went away there still wants somebody
// to look, once, and then is done with.
func TestALatchOutlivesTheShelfAndEndsWithItsReset(t *testing.T) {
	d := newDesk(t, rules.BoilingDry)
	d.does(alarm.Shelve)
	d.comes()
	d.goes()
	d.does(alarm.Unshelve)
	d.is(alarm.LatchedUnacknowledged)
	if until := d.book.Until(d.id); until != 0 {
		t.Errorf("off the shelf, it is shelved until %s", until)
	}
	d.does(alarm.Acknowledge)
	d.does(alarm.Reset)
	d.does(alarm.Shelve)
	d.does(alarm.Unshelve)
	d.is(alarm.Normal)
}

package app

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// eventful is a batch in which everything happens that a restart could forget:
// an alarm acknowledged, one shelved, one latched, one out of service since
// before the batch, and a strain that was entered by mistake and taken back.
// between is called before each poll but the first, with its number; what it
// returns says that this poll is missed.
func eventful(k *kitchen, between func(poll int) (missed bool)) {
	k.t.Helper()
	order := func(c alarm.Command) {
		k.t.Helper()
		if err := k.app.Alarm(k.t.Context(), "north", c, "maker"); err != nil {
			k.t.Fatal(err)
		}
	}
	at := map[int]func(){
		3: func() {
			order(alarm.Command{Alarm: rules.WarmBottling, Action: alarm.PutOutOfService, Reason: "no room probe"})
		},
		6:   func() { k.did("fill 1.85 kg; charge 220 g; light") },
		132: func() { order(alarm.Command{Alarm: rules.ProbeSilent, Action: alarm.Acknowledge}) },
		140: func() {
			order(alarm.Command{Alarm: rules.DishBare, Action: alarm.Shelve, For: 30 * time.Minute, Reason: "glass dish, I see it"})
		},
		156: func() { k.did("strain") },
		170: func() {
			if err := k.app.Void(k.t.Context(), "north", k.entry("strain"), "pressed the wrong button", "maker"); err != nil {
				k.t.Fatal(err)
			}
		},
		200: func() { order(alarm.Command{Alarm: rules.WarmBottling, Action: alarm.ReturnToService}) },
	}
	for n := range 230 {
		if do := at[n]; do != nil {
			do()
		}
		minute := float64(n-6) / 6
		k.read(20+math.Min(72, math.Max(0, 4*minute)), 20+math.Min(79.5, math.Max(0, 5*minute)))
		switch {
		case n >= 127 && n < 135: // the oil probe is gone
			k.probes.says[oilProbe] = sensors.Failed(sensors.Absent)
		case n >= 180 && n < 184: // the pan is dry for a moment
			k.probes.says[bathProbe] = sensors.AtCelsius(112)
		}
		k.uptime += 10 * time.Second
		if n > 0 && between(n) {
			continue
		}
		k.poll(0)
	}
}

func TestARestartGoesOnAsIfNothingHadHappened(t *testing.T) {
	for _, cut := range []int{
		20,  // heating
		131, // the oil probe is silent and nobody has seen it
		133, // and somebody has
		145, // an alarm is shelved
		160, // strained by mistake
		171, // the strain was taken back one poll ago
		183, // the pan is dry
		190, // and was: the alarm is latched
		205, // what was out of service was returned
	} {
		t.Run(fmt.Sprintf("at poll %d", cut), func(t *testing.T) {
			whole := newKitchen(t)
			eventful(whole, func(n int) bool { return n == cut })
			parted := newKitchen(t)
			eventful(parted, func(n int) bool {
				if n == cut {
					parted.restart(0)
				}
				return n == cut
			})
			sameBath(t, parted, whole)
			if parted.batch() != whole.batch() || whole.batch() == "" {
				t.Errorf("the batch is %q, without the restart %q", parted.batch(), whole.batch())
			}
			sameLog(t, parted, whole)
			sameTrace(t, parted, whole)
			checkRefold(t, parted.entries())
			checkRefold(t, whole.entries())
		})
	}
}

// sameBath compares all that the daemons remember, to the last bit.
func sameBath(t *testing.T, parted, whole *kitchen) {
	t.Helper()
	if *parted.bath() != *whole.bath() {
		got, want := fmt.Sprintf("%+v", *parted.bath()), fmt.Sprintf("%+v", *whole.bath())
		t.Errorf("the bath is another: %s", difference(got, want))
	}
}

// difference shows two long texts around where they part.
func difference(got, want string) string {
	i := 0
	for i < min(len(got), len(want)) && got[i] == want[i] {
		i++
	}
	around := func(s string) string { return s[max(0, i-120):min(len(s), i+40)] }
	return fmt.Sprintf("…%s… instead of …%s…", around(got), around(want))
}

func sameLog(t *testing.T, parted, whole *kitchen) {
	t.Helper()
	got, want := texts(parted), texts(whole)
	got = slices.DeleteFunc(got, func(s string) bool { return strings.HasPrefix(s, "bainward started again after ") })
	if len(want) < 20 || !slices.Equal(got, want) {
		t.Errorf("the log reads\n%q\nwithout the restart\n%q", got, want)
	}
}

// texts returns the log from the opening of the batch on, oldest first. The
// numbers of entries are left out: a restart moves them.
func texts(k *kitchen) []string {
	k.t.Helper()
	lines, err := k.app.Events(k.t.Context(), "north", 1000)
	if err != nil {
		k.t.Fatal(err)
	}
	slices.Reverse(lines)
	opened := slices.IndexFunc(lines, func(l dashboards.LogLine) bool { return strings.HasPrefix(l.Text, "batch ") })
	var all []string
	for _, l := range lines[opened:] {
		text := regexp.MustCompile("entry [0-9]+").ReplaceAllString(l.Text, "an entry")
		switch {
		case l.Voided:
			text += " [taken back]"
		case l.Voidable:
			text += " [can be taken back]"
		}
		all = append(all, text)
	}
	return all
}

func sameTrace(t *testing.T, parted, whole *kitchen) {
	t.Helper()
	got, want := traceOf(parted), traceOf(whole)
	opened := want.Marks[0].At
	since := func(all []dashboards.Point) []dashboards.Point {
		return slices.DeleteFunc(all, func(p dashboards.Point) bool { return p.At <= opened })
	}
	got.Points, want.Points = since(got.Points), since(want.Points)
	if len(want.Points) < 200 || fmt.Sprint(got.Points) != fmt.Sprint(want.Points) { // as text, for NaN is not NaN
		t.Errorf("the trace has other points: %d, without the restart %d", len(got.Points), len(want.Points))
	}
	if len(want.Marks) < 6 || !slices.Equal(got.Marks, want.Marks) {
		t.Errorf("the trace has marks\n%v\nwithout the restart\n%v", got.Marks, want.Marks)
	}
	if len(want.Holds) == 0 || !slices.Equal(got.Holds, want.Holds) {
		t.Errorf("the hold ran\n%v\nwithout the restart\n%v", got.Holds, want.Holds)
	}
}

func traceOf(k *kitchen) dashboards.Trace {
	k.t.Helper()
	tr, err := k.app.Trace(k.t.Context(), "north", 6*time.Hour)
	if err != nil {
		k.t.Fatal(err)
	}
	return tr
}

func TestNoHoldIsCountedAcrossARestartOfTheMachine(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	before := k.bath().Rules.Hold()
	end := k.entries()[len(k.entries())-1].At
	k.kill()
	k.boot, k.uptime, k.clock = "second boot", 12*time.Second, k.uptime // away for 12 s by the clock on the wall
	k.start()
	k.poll(time.Second)
	if got := k.bath().Rules.Hold(); got != before {
		t.Errorf("the hold went from %v to %v over a gap that nobody measured", before, got)
	}
	k.poll(10 * time.Second)
	if got := k.bath().Rules.Hold(); got != before+10*time.Second {
		t.Errorf("the hold is %v, want %v: it goes on after the restart", got, before+10*time.Second)
	}
	if now := k.shown().At; now < end {
		t.Errorf("the offset went back from %v to %v", end, now)
	}
	checkRefold(t, k.entries())
}

func TestOffsetsNeverGoBackWhateverTheClockSays(t *testing.T) {
	for name, away := range map[string]time.Duration{
		"the clock stood still":     0,
		"the clock lost its time":   -20 * 365 * 24 * time.Hour,
		"the clock ran far ahead":   30 * 365 * 24 * time.Hour,
		"the machine was off a day": 24 * time.Hour,
	} {
		t.Run(name, func(t *testing.T) {
			k := newKitchen(t)
			k.pollFor(time.Minute)
			before := k.uptime
			k.kill()
			k.boot, k.uptime, k.clock = "second boot", 0, k.clock+before+away
			k.start()
			k.pollFor(time.Minute)
			var last time.Duration
			for _, e := range k.entries() { // the record refuses it too; this says so in one place
				if e.At < last {
					t.Fatalf("entry %d is at %v, after %v", e.Seq, e.At, last)
				}
				last = e.At
			}
			if e := k.entries(); len(e) == 0 || k.count(record.KindRestart) != 2 {
				t.Errorf("%d restarts in the record, want 2", k.count(record.KindRestart))
			}
		})
	}
}

// A shelf that ends while the daemon is away is an alarm change like any other:
// recorded and announced when the daemon is back.
func TestAShelfThatEndedMeanwhileIsRecorded(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	k.probes.says[oilProbe] = sensors.Failed(sensors.Absent)
	k.pollFor(time.Minute)
	shelve := alarm.Command{Alarm: rules.ProbeSilent, Action: alarm.Shelve, For: time.Minute, Reason: "I am at it"}
	if err := k.app.Alarm(t.Context(), "north", shelve, "maker"); err != nil {
		t.Fatal(err)
	}
	k.told = crier{}
	k.restart(5 * time.Minute)
	if s := k.bath().Alarms.State(rules.ProbeSilent); s != alarm.Unacknowledged {
		t.Fatalf("the alarm is %s", s)
	}
	if len(k.told.changes) != 1 || k.told.changes[0].Change.To != alarm.Unacknowledged {
		t.Errorf("announced were %v, want the end of the shelf", k.told.changes)
	}
	checkRefold(t, k.entries())
}

func TestALitBatchKeepsItsRecipeWhenTheSiteFileLosesIt(t *testing.T) {
	k := newKitchen(t)
	if err := k.app.Recipe(t.Context(), "north", "marigold", "Robin"); err != nil {
		t.Fatal(err)
	}
	k.hold()
	k.kill()
	k.site.Recipes = k.site.Recipes[:1]
	k.start()
	if got := k.app.baths[0].cfg.Recipe.Name; got != "marigold" {
		t.Errorf("the batch goes on as %q, want the recipe it was lit by", got)
	}
	k.pollFor(20 * time.Minute)
	if v := k.bath().Rules.Verdict(); v != rules.Held {
		t.Errorf("after twenty minutes more the verdict is %s, want held: marigold asks for no more", v)
	}
}

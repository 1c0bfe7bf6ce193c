package app

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/batch/ledger"
)

// newDoubleSite is the kitchen's site with a recipe that asks for two macerations.
func newDoubleSite(t testing.TB) *site.Site {
	t.Helper()
	text := strings.Replace(kitchenSite, "hold_min = 30", "hold_min = 30\nmacerations = 2", 1)
	s, err := site.Parse("alder.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// newDoubleKitchen is a kitchen of that site.
func newDoubleKitchen(t testing.TB) *kitchen {
	t.Helper()
	return newKitchenWith(t, func(o *Options) { o.Site = newDoubleSite(t) })
}

// macerated holds the first maceration as long as asked and the second for so
// long, a little cooler, and returns the batch's number.
func (k *kitchen) macerated(second time.Duration) string {
	k.t.Helper()
	k.hold()
	number := k.batch()
	k.pollFor(30 * time.Minute)
	k.did("strain")
	k.pollFor(5 * time.Minute)
	k.did("recharge 200 g")
	k.read(60, 80)
	k.pollFor(2 * time.Minute)
	k.read(90, 99)
	k.pollFor(second)
	k.did("strain")
	k.pollFor(time.Minute)
	return number
}

func (k *kitchen) course(number string) ledger.Course {
	k.t.Helper()
	c, err := k.app.Course(k.t.Context(), number)
	if err != nil {
		k.t.Fatal(err)
	}
	return c
}

// verdicts tells the verdict of each maceration.
func verdicts(c ledger.Course) string {
	var all []string
	for _, p := range c.Passes {
		all = append(all, p.Verdict)
	}
	return strings.Join(all, " ")
}

// Each maceration has a hold, a hottest oil and a verdict of its own, whichever of
// the two was cut short; the batch has the worse one.
func TestEachMacerationIsJudgedByItself(t *testing.T) {
	for _, c := range []struct {
		second    time.Duration
		each, all string
	}{{31 * time.Minute, "held held", "held"}, {20 * time.Minute, "held short", "short"}} {
		k := newDoubleKitchen(t)
		number := k.macerated(c.second)
		course := k.course(number)
		if got := verdicts(course); got != c.each || course.Verdict != c.all {
			t.Errorf("held for %s the second time: %s, in all %s; want %s, %s", c.second, got, course.Verdict, c.each, c.all)
		}
		first, second := course.Passes[0], course.Passes[1]
		if first.Pass != 1 || second.Pass != 2 || first.AskedS != 1800 || second.AskedS != 1800 {
			t.Errorf("the macerations are %+v", course.Passes)
		}
		// The first polls at the floor begin the hold, so it is one poll short.
		if d := (c.second - 10*time.Second).Seconds(); second.HoldS < d-20 || second.HoldS > d+20 || second.HoldS != course.HoldS {
			t.Errorf("the second hold is %g s, want about %g s", second.HoldS, d)
		}
		if *first.OilMaxC != 92 || *second.OilMaxC != 90 || *course.OilMaxC != 92 {
			t.Errorf("hottest %g and %g °C, in all %g; want 92, 90, 92", *first.OilMaxC, *second.OilMaxC, *course.OilMaxC)
		}
		if gap := second.From.Sub(first.To); gap != 5*time.Minute {
			t.Errorf("%s between the macerations, want 5 min", gap)
		}
	}
}

// A maceration in hand is open until its hold is done, then held though nobody has
// strained yet; fresh herb that goes in without a strain ends the one before.
func TestAMacerationInHandIsJudgedAsFarAsItIsCertain(t *testing.T) {
	k := newDoubleKitchen(t)
	k.hold()
	number := k.batch()
	if got := verdicts(k.course(number)); got != "open" {
		t.Errorf("while the hold runs: %s", got)
	}
	k.pollFor(30 * time.Minute)
	if c := k.course(number); verdicts(c) != "held" || !c.Passes[0].To.IsZero() {
		t.Errorf("when the hold is done: %+v", c.Passes)
	}
	k.did("strain; recharge 200 g")
	k.poll(10 * time.Second)
	if got := verdicts(k.course(number)); got != "held open" {
		t.Errorf("recharged: %s", got)
	}
	k.did("abandon")
	if c := k.course(number); verdicts(c) != "held spoiled" || c.EndedBy != "maker" || c.OpenedBy != "maker" {
		t.Errorf("given up: %+v", c)
	}
}

// What was taken back is told with its reason, and counts in no maceration.
func TestTheCourseTellsWhoDidWhat(t *testing.T) {
	k := newDoubleKitchen(t)
	k.hold()
	number := k.batch()
	k.did("strain; recharge 10 g")
	k.pollFor(time.Minute)
	acknowledge := alarm.Command{Alarm: rules.TooShort, Action: alarm.Acknowledge}
	if err := k.app.Alarm(t.Context(), "north", acknowledge, "Sorrel"); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"recharge 10 g", "strain"} {
		if err := k.app.Void(t.Context(), "north", k.entry(text), "the wrong button", "Sorrel"); err != nil {
			t.Fatal(err)
		}
	}
	k.pollFor(30 * time.Minute)
	c := k.course(number)
	if verdicts(c) != "held" {
		t.Errorf("the macerations are %s, want one, held", verdicts(c))
	}
	var said []string
	for _, d := range c.Deeds {
		text := d.Text + " by " + d.Who
		if d.Voided {
			text += ", void: " + d.Why + " (" + d.VoidedBy + ")"
		}
		said = append(said, text)
	}
	void := " by maker, void: the wrong button (Sorrel)"
	if want := []string{"fill 1.85 kg by maker", "charge 220 g by maker", "light by maker", "strain" + void, "recharge 10 g" + void}; !slices.Equal(said, want) {
		t.Errorf("deeds %q, want %q", said, want)
	}
	i := slices.IndexFunc(c.Called, func(a ledger.AlarmCall) bool { return a.Alarm == "too-short" })
	if i < 0 || c.Called[i].By != "Sorrel" || c.Called[i].Acknowledged.Sub(c.Called[i].Raised) != time.Minute || c.Called[i].Priority == "" {
		t.Errorf("alarms %+v, want too-short acknowledged by Sorrel after a minute", c.Called)
	}
	if c.Alarms != len(c.Called) {
		t.Errorf("%d alarms are counted, %d told", c.Alarms, len(c.Called))
	}
}

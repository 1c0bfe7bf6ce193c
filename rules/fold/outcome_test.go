package fold_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
)

// call is a time during which an alarm stood unacknowledged.
type call struct{ from, to time.Duration }

// calls replays rows and gathers what a person would have been called for.
func calls(cfg *rules.Config, rows []trace.Row) map[string][]call {
	all := map[string][]call{}
	fold.Replay(cfg, rows, func(l fold.Line) {
		if l.Kind != fold.AlarmLine {
			return
		}
		at, list := l.At.Sub(rows[0].Wall), all[l.Alarm]
		if n := len(list); n > 0 && list[n-1].to == math.MaxInt64 {
			list[n-1].to = at
		}
		if l.State == "unacknowledged" {
			list = append(list, call{at, math.MaxInt64})
		}
		all[l.Alarm] = list
	})
	return all
}

// heardIn reports whether one of the calls stood within a span, and since when.
func heardIn(list []call, from, to time.Duration) (since time.Duration, heard bool) {
	for _, c := range list {
		if c.from <= to && c.to >= from {
			return c.from, true
		}
	}
	return 0, false
}

// part counts how many of how many.
type part struct{ is, of int }

func (p *part) add(is bool) {
	p.of++
	if is {
		p.is++
	}
}

func (p part) share() float64 { return float64(p.is) / float64(max(1, p.of)) }

func (p part) String() string { return fmt.Sprintf("%d/%d", p.is, p.of) }

// outcome sums up what was told of the kitchens of one sabotage.
type outcome struct {
	sync.Mutex
	floors              floors
	bare, wave, ever    part // dish-bare within its time, from level and last wave; before dry
	lying, hanging, due part
	falseBare, falseDry int
	bareLate, dryLate   []float64 // min, s
	missed              []string
}

// judge holds what was heard against what was true.
func (o *outcome) judge(kitchen uint64, n *neglect, heard map[string][]call) {
	o.Lock()
	defer o.Unlock()
	o.judgeBare(kitchen, n, heard[rules.DishBare.String()])
	o.judgeDry(kitchen, n, heard[rules.BoilingDry.String()])
	_, due := heardIn(heard[rules.TopUpDue.String()], 0, n.bare)
	o.due.add(due)
}

func (o *outcome) judgeBare(kitchen uint64, n *neglect, list []call) {
	if len(list) > 0 && list[0].from < n.low {
		o.falseBare++
	}
	from := min(n.low, n.bare)
	if n.dry-n.bare >= bareWithin {
		at, told := heardIn(list, from, n.bare+bareWithin)
		o.bare.add(told)
		if told {
			o.bareLate = append(o.bareLate, (at - n.bare).Minutes())
		} else {
			o.missed = append(o.missed, fmt.Sprint("bare ", kitchen))
		}
		_, told = heardIn(list, from, n.dry)
		o.ever.add(told)
	}
	if n.dry-n.wave >= bareWithin {
		_, told := heardIn(list, from, n.wave+bareWithin)
		o.wave.add(told)
	}
}

func (o *outcome) judgeDry(kitchen uint64, n *neglect, list []call) {
	if len(list) > 0 && list[0].from < n.bare {
		o.falseDry++
	}
	within, dry := lyingWithin, &o.lying
	if n.hanging {
		within, dry = hangingWithin, &o.hanging
	}
	at, told := heardIn(list, n.dry-nearlyDry, n.dry+within)
	if at < n.bare {
		told = false // it was called for something else
	}
	dry.add(told)
	if told {
		o.dryLate = append(o.dryLate, (at - n.dry).Seconds())
	} else {
		o.missed = append(o.missed, fmt.Sprint("dry ", kitchen))
	}
}

// sumUp prints the table and fails where less was told than was asked for.
func sumUp(t *testing.T, outcomes []outcome) {
	t.Helper()
	t.Log("\n" + tableOf(outcomes))
	if testing.Short() {
		return // one bath says nothing of shares
	}
	for i := range outcomes {
		outcomes[i].assert(t, sabotages[i].name)
	}
}

func (o *outcome) assert(t *testing.T, name string) {
	t.Helper()
	least := func(what string, is part, floor, want float64) {
		if is.of > 0 && is.share() < floor {
			t.Errorf("%s: %s told in %s, %.0f %%; at least %.0f %% before, and %.0f %% wanted; missed: %s",
				name, what, is, 100*is.share(), 100*floor, 100*want, strings.Join(o.missed, ", "))
		}
	}
	least("bare base, from the level,", o.bare, orAim(o.floors.level), wantBare)
	least("bare base, from the last wave,", o.wave, orAim(o.floors.wave), wantBare)
	least("dry pan, probe on the floor,", o.lying, wantDry, wantDry)
	least("dry pan, probe hanging,", o.hanging, wantDry, wantDry)
	// Two of the plain baths lose so much heat at the side of the dish that the oil
	// falls 8 to 10 K/h before the base is bare: a call that is minutes early.
	if o.falseBare > 2 || o.falseDry > 1 {
		t.Errorf("%s: before the base was bare dish-bare came %d times and boiling-dry %d times, want at most twice and once", name, o.falseBare, o.falseDry)
	}
}

// orAim is a floor where one is set, else the aim.
func orAim(floor float64) float64 {
	if floor == 0 {
		return wantBare
	}
	return floor
}

// tableOf says of each sabotage how many bare bases were told within ten minutes
// of the level and of the last wave, each with what the test asks for, and how
// many ever before the pan was dry; how late; how many dry pans in time, by where
// the probe is; how often top-up-due came first; and the alarms that came before
// the water was near the base.
func tableOf(outcomes []outcome) string {
	var b strings.Builder
	row := func(cells ...any) {
		fmt.Fprintf(&b, "%-44s %6s %4s %7s %4s %6s  %13s  %7s %7s %11s  %6s %6s\n", cells...)
	}
	row("", "bare", "asks", "from", "asks", "ever", "min after", "dry", "dry", "s after", "due", "false")
	row("sabotage", "10 min", "%", "wave", "%", "told", "p50 p90 max", "lying", "hanging", "p50 p90 max", "first", "b d")
	row("wanted", "90 %", "", "90 %", "", "", "", "99 %", "99 %", "", "", "few")
	for i := range outcomes {
		o := &outcomes[i]
		asks := func(floor float64) string { return fmt.Sprintf("%.0f", 100*orAim(floor)) }
		row(sabotages[i].name, o.bare, asks(o.floors.level), o.wave, asks(o.floors.wave), o.ever, ends(o.bareLate, 1),
			o.lying, o.hanging, ends(o.dryLate, 0), o.due, fmt.Sprintf("%d %d", o.falseBare, o.falseDry))
	}
	return b.String()
}

// ends are the middle, the upper tenth and the last of a sample.
func ends(sample []float64, digits int) string {
	if len(sample) == 0 {
		return "none"
	}
	s := slices.Sorted(slices.Values(sample))
	n := len(s) - 1
	return fmt.Sprintf("%.*f %.*f %.*f", digits, s[n/2], digits, s[n*9/10], digits, s[n])
}

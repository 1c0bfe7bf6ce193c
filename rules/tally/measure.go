package tally

import (
	"time"

	"bainward/rules/alarm"
)

// Grade is how a figure stands to its targets.
type Grade uint8

// The grades. Acceptable and Manageable are the standards' own words.
const (
	Ungraded   Grade = iota // no target, or nothing to judge by
	Acceptable              // very likely acceptable
	Manageable              // within the maximum manageable
	Over                    // over the target
)

func (g Grade) String() string {
	return [...]string{"", "very likely acceptable", "manageable", "over"}[g&3]
}

// Unit is what a Measure counts in.
type Unit uint8

// The units.
const (
	Number Unit = iota
	Percent
	Time // seconds
)

// Measure is one figure beside its targets.
type Measure struct {
	Name  string
	Unit  Unit
	Value float64
	None  bool // there is nothing to reckon it from
	// Target and Most are the words of the standards for very likely acceptable
	// and maximum manageable; empty where they name none.
	Target, Most string
	Grade        Grade
}

// limit is a target: at most so much, or less than so much.
type limit struct {
	value float64
	below bool
}

func (l limit) keeps(v float64) bool { return v < l.value || !l.below && v == l.value }

// Measures puts the figures beside the targets of ANSI/ISA-18.2-2016 and EEMUA
// 191 (from memory). Without Enough data nothing is graded.
func (f *Figures) Measures() []Measure {
	lit := rate(f.CountLit, f.Lit, time.Hour, "calls an hour with a lit bath")
	top, of := f.TopShare()
	all := []Measure{
		f.graded(rate(f.Count, f.Watched, 24*time.Hour, "calls a day"), "about 150", "about 300", limit{value: 150}, limit{value: 300}),
		f.graded(rate(f.Count, f.Watched, time.Hour, "calls an hour"), "about 6", "about 12", limit{value: 6}, limit{value: 12}),
		f.graded(lit, "about 6", "about 12", limit{value: 6}, limit{value: 12}),
		f.graded(rate(f.Count, f.Watched, shortPeriod, "calls in 10 min"), "about 1", "about 2", limit{value: 1}, limit{value: 2}),
		f.graded(count(f.MostInShort, "most in any 10 min"), "10", "", limit{value: 10}),
		count(f.MostInHour, "most in any hour"),
		f.graded(share(f.BusyHours, f.Hours, "hours with more than 30"), "under 1 %", "", limit{1, true}),
		f.graded(share(f.BusyShorts, f.Shorts, "10 min with more than 10"), "under 1 %", "", limit{1, true}),
		f.graded(share(f.InFlood, f.Watched, "time in a flood"), "under 1 %", "", limit{1, true}),
		count(f.Floods, "floods"),
		f.graded(count(len(f.Chattering), "alarms that chatter"), "0", "", limit{}),
		f.graded(count(f.Fleeting, "fleeting calls"), "0", "", limit{}),
		f.graded(count(f.StaleMost, "stale on the worst day"), "under 5", "", limit{5, true}),
		count(len(f.Standing), "standing at the end"),
	}
	topTen := Measure{Name: "share of the top ten", Unit: Percent, Value: top * 100, None: of == 0, Target: "1 to 5 %"}
	if of > topMost { // of ten alarms the top ten are always all
		topTen = f.graded(topTen, topTen.Target, "", limit{value: 5})
	}
	all = append(all, topTen)
	for p, target := range [...]string{alarm.Low: "80 %", alarm.Medium: "15 %", alarm.High: "5 %", alarm.Critical: "under 1 %"} {
		m := share(f.ByPriority[p], f.Count, "priority "+alarm.Priority(p).String())
		m.Target = target
		all = append(all, m)
	}
	none := f.Answered == 0
	return append(all,
		Measure{Name: "answered within, half of them", Unit: Time, Value: f.AnswerP50.Seconds(), None: none},
		Measure{Name: "answered within, nine of ten", Unit: Time, Value: f.AnswerP90.Seconds(), None: none},
		Measure{Name: "answered within, all of them", Unit: Time, Value: f.AnswerMax.Seconds(), None: none},
		count(f.Unanswered, "never answered"),
		count(f.Calling, "of those, calling still"),
	)
}

// graded returns m with its targets, the stricter first.
func (f *Figures) graded(m Measure, target, most string, limits ...limit) Measure {
	m.Target, m.Most = target, most
	if m.None || !f.Enough() {
		return m
	}
	m.Grade = Over
	for i := len(limits) - 1; i >= 0; i-- {
		if limits[i].keeps(m.Value) {
			m.Grade = Acceptable + Grade(i)
		}
	}
	return m
}

func count(n int, name string) Measure { return Measure{Name: name, Value: float64(n)} }

func rate(n int, in, per time.Duration, name string) Measure {
	if in <= 0 {
		return Measure{Name: name, None: true}
	}
	return Measure{Name: name, Value: float64(n) * per.Seconds() / in.Seconds()}
}

func share[N int | time.Duration](n, of N, name string) Measure {
	if of <= 0 {
		return Measure{Name: name, Unit: Percent, None: true}
	}
	return Measure{Name: name, Unit: Percent, Value: 100 * float64(n) / float64(of)}
}

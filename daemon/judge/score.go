package judge

import (
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
)

// Score sums courses up.
type Score struct {
	courses int

	warned    share
	lead      sample // s before bare
	unspent   sample // share of the margin unspent at the first warning, no top-up before
	unspentIn sample // the same after a logged top-up

	bareErr     sample // relative error of the time to bare
	cover       [quantityCount]share
	dry         share
	dryLate     sample
	misled      share
	quiet       share // tended baths without an alarm but top-up-due
	noise       [rules.IDCount]int
	noticed     share
	falsePours  int
	hours       float64
	herb        share
	herbErr     sample // min, called after (+) or before (-) the truth
	widthToBare sample // (p90-p10)/p50
	boilErr     sample // relative error of the boil-off after a top-up
	boilErr0    sample // and before the first
	marginErr   sample // of the margin after a top-up, over the margin at the top-up
}

// quantity is what an estimate gives a range for.
type quantity uint8

const (
	toBareBefore quantity = iota // until the base is bare, before a logged top-up
	toBareAfter
	water
	boilOff
	quantityCount
)

var quantityNames = [quantityCount]string{
	"time to bare, no top-up yet", "time to bare, after a top-up", "water left", "boil-off",
}

type share struct{ yes, of int }

func (s *share) add(yes bool) {
	s.of++
	if yes {
		s.yes++
	}
}

func (s share) part() float64 {
	if s.of == 0 {
		return math.NaN()
	}
	return float64(s.yes) / float64(s.of)
}

// Add plays a course and takes it in.
func (s *Score) Add(c *Course) {
	p := play(c)
	s.courses++
	switch c.Kind {
	case Misled:
		s.bareUnseen(p)
		s.dryness(p)
		return
	case Long:
		s.herbs(p)
	case Tended:
		s.alarms(p)
	case Open:
		s.alarms(p)
		s.herbs(p)
	}
	s.estimates(p)
	s.warnings(p)
	s.pours(p)
	s.dryness(p)
}

func within(r balance.Range, x float64) bool { return r.P10 <= x && x <= r.P90 }

// settled is how long after a top-up its estimate counts.
const settled = 5 * time.Minute

func (s *Score) estimates(p *played) {
	ends := p.ends()
	for _, v := range p.seen {
		if !v.lit || !v.estimate.ToBareS.Known() || v.at >= ends || v.sinceIn < settled {
			continue
		}
		if p.Kind == Unentered {
			continue // judged by whether the water is noticed
		}
		t := p.Truth[v.truth]
		s.cover[water].add(within(v.estimate.WaterKg, t.WaterKg))
		if r := p.lossAt(v.truth); !math.IsNaN(r) {
			s.cover[boilOff].add(within(v.estimate.BoilOffKgH, r))
			if v.firstIn {
				s.boilErr.add(v.estimate.BoilOffKgH.P50/r - 1)
			} else if v.sinceIn > 15*time.Minute {
				s.boilErr0.add(v.estimate.BoilOffKgH.P50/r - 1)
			}
		}
		left := p.bareIn(v.truth)
		if math.IsNaN(left) || left <= 0 {
			continue
		}
		s.marginErr.add(v.estimate.WaterKg.P50 - t.WaterKg)
		q := toBareBefore
		if v.firstIn {
			q = toBareAfter
			if left >= 180 {
				s.bareErr.add(math.Abs(v.estimate.ToBareS.P50-left) / left)
			}
			s.widthToBare.add((v.estimate.ToBareS.P90 - v.estimate.ToBareS.P10) / left)
		}
		s.cover[q].add(within(v.estimate.ToBareS, left))
	}
}

// lossAt is the loss of water around truth i, kg/h.
func (c *Course) lossAt(i int) float64 {
	a, b := c.at(c.Truth[i].At-150*time.Second), c.at(c.Truth[i].At+150*time.Second)
	if a < 0 || c.Truth[b].At-c.Truth[a].At < 290*time.Second || c.quietUntil(a) < b && !c.Truth[b].Bare {
		return math.NaN()
	}
	return (c.Truth[a].WaterKg - c.Truth[b].WaterKg) / (c.Truth[b].At - c.Truth[a].At).Hours()
}

// warnings judges every stretch of water that ended with a bare base or at
// which top-up-due was raised.
func (s *Score) warnings(p *played) {
	full, last := math.NaN(), math.Inf(1)
	topped := false
	warned := math.NaN() // when, in this stretch, s
	due := p.raised[rules.TopUpDue]
	for i, t := range p.Truth {
		margin := t.WaterKg - p.BareKg
		if t.WaterKg > last+1e-4 || math.IsNaN(full) {
			if t.WaterKg > last+1e-4 && !math.IsNaN(warned) {
				topped = true
			}
			full, warned = margin, math.NaN()
		}
		last = t.WaterKg
		for len(due) > 0 && due[0] <= t.At {
			if math.IsNaN(warned) && full > 0 && margin > 0 && due[0] >= t.At-time.Minute {
				warned = t.At.Seconds()
				if p.untouched(t.At) {
					s.unspent.add(margin / full)
				} else if p.Kind != Unentered && topped || p.Kind != Unentered && p.toppedBefore(t.At) {
					s.unspentIn.add(margin / full)
				}
			}
			due = due[1:]
		}
		if t.Bare && p.untouched(t.At) && i > 0 && !p.Truth[i-1].Bare {
			at, found := p.first(rules.TopUpDue, 0)
			s.warned.add(found && at < t.At)
			if found {
				s.lead.add((t.At - at).Seconds())
			}
			return
		}
	}
}

// untouched reports whether nobody topped up before at, in a course that shows
// what happens then.
func (p *played) untouched(at time.Duration) bool {
	return p.Kind == Forgotten || p.Kind == Open && !p.toppedBefore(at)
}

func (p *played) toppedBefore(at time.Duration) bool {
	for _, r := range p.Rows {
		if r.At > at {
			return false
		}
		for _, e := range r.Events {
			if e.Kind == rules.TopUp {
				return true
			}
		}
	}
	return false
}

func (s *Score) dryness(p *played) {
	limit := 60 * time.Second
	if p.Hanging {
		limit = 180 * time.Second
	}
	for i, t := range p.Truth {
		if i == 0 || !t.Dry || p.Truth[i-1].Dry || t.At > p.ends() {
			continue
		}
		if p.Truth[len(p.Truth)-1].At-t.At < limit {
			return
		}
		at, found := p.first(rules.BoilingDry, t.At-5*time.Minute)
		s.dry.add(found && at-t.At <= limit)
		if found {
			s.dryLate.add((at - t.At).Seconds())
		}
		return
	}
}

func (s *Score) bareUnseen(p *played) {
	since := time.Duration(-1)
	for _, t := range p.Truth {
		switch {
		case !t.Bare:
			since = -1
		case since < 0:
			since = t.At
		case t.At-since >= 10*time.Minute && !t.Dry:
			at, found := p.first(rules.DishBare, since-10*time.Minute)
			s.misled.add(found && at <= t.At)
			return
		}
	}
}

// alarms wants a tended bath to be quiet, apart from water being due.
func (s *Score) alarms(p *played) {
	ever := false
	for _, t := range p.Truth {
		ever = ever || t.Bare && t.At < p.ends()
	}
	if ever {
		return // a maker who let the base go bare has not tended it
	}
	quiet := true
	for id := range rules.IDCount {
		if id == rules.TopUpDue || len(p.raised[id]) == 0 {
			continue
		}
		quiet = false
		s.noise[id]++
	}
	s.quiet.add(quiet)
}

// pours holds what was noticed against the water that came unentered.
func (s *Score) pours(p *played) {
	if len(p.Truth) > 0 {
		s.hours += math.Min(p.Truth[len(p.Truth)-1].At.Hours(), p.ends().Hours())
	}
	matched := make([]bool, len(p.pours))
	for i := 1; i < len(p.Truth); i++ {
		rise, at := p.riseFrom(i)
		if rise < pouredKg || p.loggedAround(at) {
			continue
		}
		found := false
		for k, n := range p.pours {
			if n >= at && n <= at+150*time.Second {
				matched[k], found = true, true
			}
		}
		if rise >= 0.2 && p.litAt(at) {
			s.noticed.add(found)
		}
	}
	for k := range p.pours {
		if !matched[k] {
			s.falsePours++
		}
	}
}

// riseFrom returns how much water a pour that begins at truth i brings.
func (p *played) riseFrom(i int) (kg float64, at time.Duration) {
	t := p.Truth
	if t[i].WaterKg <= t[i-1].WaterKg || i > 1 && t[i-1].WaterKg > t[i-2].WaterKg {
		return 0, t[i].At
	}
	k := i
	for k+1 < len(t) && t[k+1].WaterKg > t[k].WaterKg {
		k++
	}
	return t[k].WaterKg - t[i-1].WaterKg, t[i].At
}

func (p *played) loggedAround(at time.Duration) bool {
	for _, r := range p.Rows {
		for _, e := range r.Events {
			if d := r.At - at; (e.Kind == rules.TopUp || e.Kind == rules.Fill) && d > -2*time.Minute && d < 2*time.Minute {
				return true
			}
		}
	}
	return false
}

func (p *played) litAt(at time.Duration) bool {
	for _, v := range p.seen {
		if v.at >= at {
			return v.lit
		}
	}
	return false
}

// herbs holds the call that the herb has given up its water against the moment
// when a tenth of what it brought was left.
func (s *Score) herbs(p *played) {
	brought := 0.0
	gone := math.NaN()
	for _, t := range p.Truth {
		brought = math.Max(brought, t.HerbWaterKg)
		if brought > 0.02 && t.HerbWaterKg <= 0.1*brought && t.At < p.ends() {
			gone = t.At.Minutes()
			break
		}
	}
	called := math.NaN()
	for _, v := range p.seen {
		if v.herbGone {
			called = v.at.Minutes()
			break
		}
	}
	switch {
	case brought <= 0.02 || math.IsNaN(gone) && math.IsNaN(called):
	case math.IsNaN(gone):
		s.herb.add(false)
	case math.IsNaN(called):
		s.herb.add(false)
	default:
		s.herb.add(math.Abs(called-gone) <= 15)
		s.herbErr.add(called - gone)
	}
}

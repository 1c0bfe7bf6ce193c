package judge

import (
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
)

// Truth is what was really in the pan at one instant. NaN means not known.
type Truth struct {
	At          time.Duration
	WaterKg     float64
	HerbWaterKg float64
	Bare, Dry   bool
}

// Kind is what a course was made to show. It decides which figures it counts
// for; a course from a folder counts for all that its truth allows.
type Kind uint8

// The kinds of course.
const (
	Open      Kind = iota // nothing is known of it beforehand
	Forgotten             // no top-up, ever
	Tended                // topped up and entered
	Unentered             // topped up, not entered
	Misled                // the estimate is led astray and the pan forgotten
	Long                  // tended for five hours, until the herb is dry
)

// Course is one bath from fill to end: what the rules saw and what was true.
type Course struct {
	Name    string
	Kind    Kind
	Config  rules.Config
	Rows    []trace.Row
	Truth   []Truth // in order of At
	BareKg  float64 // water when the base is just bare; NaN if not known
	Hanging bool    // the bath probe hangs; else it lies on the pan floor

	ended time.Duration // when the dish left the bath
	quiet []int         // by truth, the last one before hands or a bare base change something
}

// pouredKg is a rise of the water that no rounding makes.
const pouredKg = 0.015

// at returns the index of the last truth that is not after t, or -1.
func (c *Course) at(t time.Duration) int {
	lo, hi := 0, len(c.Truth)
	for lo < hi {
		if mid := (lo + hi) / 2; c.Truth[mid].At <= t {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo - 1
}

// findBareKg takes the water at the moments when the base went bare for the
// water that it takes to wet it.
func (c *Course) findBareKg() {
	if !math.IsNaN(c.BareKg) {
		return
	}
	sum, n := 0.0, 0
	for i := 1; i < len(c.Truth); i++ {
		if a, b := c.Truth[i-1], c.Truth[i]; b.Bare && !a.Bare && b.WaterKg <= a.WaterKg && b.WaterKg > 0 {
			sum += (a.WaterKg + b.WaterKg) / 2
			n++
		}
	}
	if n > 0 {
		c.BareKg = sum / float64(n)
	}
}

// bareIn returns how long after truth i the base would have gone bare if
// nothing had been done: the margin over the loss between then and the next
// pour. NaN where that cannot be told.
func (c *Course) bareIn(i int) float64 {
	if c.Truth[i].Bare {
		return 0
	}
	margin := c.Truth[i].WaterKg - c.BareKg
	if math.IsNaN(margin) {
		return math.NaN()
	}
	end := c.quietUntil(i)
	begin := i
	for c.Truth[end].At-c.Truth[begin].At < 3*time.Minute && begin > 0 && c.Truth[begin-1].WaterKg < c.Truth[begin].WaterKg+pouredKg && c.Truth[begin-1].WaterKg >= c.Truth[begin].WaterKg {
		begin--
	}
	span := (c.Truth[end].At - c.Truth[begin].At).Seconds()
	rate := (c.Truth[begin].WaterKg - c.Truth[end].WaterKg) / span
	if span < 120 || rate <= 1e-6 {
		return math.NaN()
	}
	if c.Truth[end].Bare {
		return (c.Truth[end].At - c.Truth[i].At).Seconds()
	}
	return math.Max(0, margin) / rate
}

// ends is when the dish leaves the bath.
func (c *Course) ends() time.Duration { return c.ended }

// quietUntil is the last truth after i before water is poured in or taken out,
// the base is bare or the dish goes.
func (c *Course) quietUntil(i int) int { return c.quiet[i] }

// prepare works out what the figures ask for again and again.
func (c *Course) prepare() {
	c.findBareKg()
	c.findEnd()
	c.quiet = make([]int, len(c.Truth))
	for i := len(c.Truth) - 1; i >= 0; i-- {
		c.quiet[i] = i
		if i+1 == len(c.Truth) || c.disturbed(i) {
			continue
		}
		c.quiet[i] = i + 1
		if !c.Truth[i+1].Bare {
			c.quiet[i] = c.quiet[i+1]
		}
	}
}

// disturbed reports whether hands change the water between truth i and the next.
func (c *Course) disturbed(i int) bool {
	a, b := c.Truth[i], c.Truth[i+1]
	lost := a.WaterKg - b.WaterKg
	return lost < -1e-4 || lost > 0.01*(b.At-a.At).Seconds() || b.At >= c.ended
}

func (c *Course) findEnd() {
	c.ended = math.MaxInt64
	for _, r := range c.Rows {
		for _, e := range r.Events {
			if e.Kind == rules.Strain || e.Kind == rules.Abandon {
				c.ended = r.At
				return
			}
		}
	}
}

package balance

import (
	"math"

	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// nodes are seven equal shares of a normal distribution, scaled so that their
// variance is 1.
var nodes = [7]float64{-1.6072, -0.8683, -0.4016, 0, 0.4016, 0.8683, 1.6072}

const (
	// longest is the longest time that is worth telling, s: beyond a day nobody
	// plans with a pan.
	longest = 86400.0
	// lumpRel: a lid half on, steam that drips back from the wall, a draught:
	// what no heat tells of the loss.
	lumpRel = 0.10
	// dryShown: a bare base shows in the oil and a dry pan in the bath; while
	// they do not, that the water is below the base is half as likely.
	dryShown = 0.5
)

// tell puts what is thought into words.
func (s *State) tell(rig Rig, v Sight) {
	t, e := &s.thought, &s.est
	e.WaterKg = normal(t.x[inPan], t.sd(inPan))
	heat := repeatable.Exp(t.x[hob])
	spread := repeatable.Exp(float64(z90 * t.sd(hob)))
	e.HeatW = Range{heat / spread, heat, heat * spread}
	gives, givesSpread := s.dish.gives(), repeatable.Exp(float64(z90*math.Sqrt(s.dish.givesVar)))
	e.DishWPerK = Range{gives / givesSpread, gives, gives * givesSpread}
	e.BoilOffKgH = s.tellRate(rig, v)
	kg, sd := s.dish.left()
	e.HerbWaterKg, e.HerbGone = normal(kg, sd), s.dish.gone
	f := s.outlook(rig, v)
	e.ToBareS = f.until(margin, t)
	e.ToDryS = f.until(row{inPan: 1}, t)
	e.BareSoon = f.chance(v.LeadS, t)
}

// tellRate is the loss of the moment, kg/h.
func (s *State) tellRate(rig Rig, v Sight) Range {
	kg, slope := s.rate(rig, v)
	_, variance := s.thought.of(slope)
	dish := 0.0
	if slope[hob] != 0 {
		dish = dishRel * s.dish.uptake(v) / steam.LatentHeat(v.Bath)
	}
	sd := math.Sqrt(variance + square(dish) + square(lumpRel*kg))
	r := normal(kg*3600, sd*3600)
	r.P10 = math.Max(r.P10, 0.2*kg*3600)
	return r
}

// outlook is how the water will go if nothing is done.
type outlook struct {
	rate  [7]float64 // kg/s, at each node of the heat
	wait  float64    // s until it boils
	spare float64    // kg that will not boil off: heat that warms water and oil first
}

func (s *State) outlook(rig Rig, v Sight) outlook {
	t := &s.thought
	latent := steam.LatentHeat(v.Boiling)
	ln, sd := t.x[hob], t.sd(hob)
	var o outlook
	top := v.Boiling
	if s.plateau.known {
		top = s.plateau.c
	}
	takes := float64(steam.HeatCapacity(v.Bath)*t.x[inPan]) + rig.follows()
	cold := float64(takes * math.Max(0, top-v.Bath))
	if v.Lit && s.boiled == 0 && !s.turned {
		o.wait = cold / repeatable.Exp(ln)
		ln, sd = rig.simmer()
	} else {
		steady := s.dish.steady(v)
		if s.dish.begun {
			cold += float64(s.dish.holds * math.Max(0, top-steady/s.dish.gives()-s.dish.oil))
		}
		o.spare = cold / latent
	}
	whole := float64(rig.openArea() * s.vapour * repeatable.Exp(t.x[air]))
	least := float64(whole / 2)
	if !v.Lit {
		ln, sd, o.spare, least = lnLeast, 0, 0, whole
	}
	sd = quadrature(sd, lumpRel)
	dish := s.dish.steady(v)
	for i, z := range nodes {
		heat := repeatable.Exp(ln + float64(z*sd))
		o.rate[i] = math.Max(1e-7, math.Max(least, (heat-dish)/latent))
	}
	return o
}

// given returns mean and standard deviation of the sum h when the heat is at
// node z.
func (t *thought) given(h row) (mean, perNode, sd float64) {
	mean, v := t.of(h)
	for i := range h {
		perNode += float64(h[i] * t.p[i][hob])
	}
	perNode /= math.Max(1e-6, t.sd(hob))
	return mean, perNode, math.Sqrt(math.Max(1e-6, v-float64(perNode*perNode)))
}

// weighed is a time with its weight.
type weighed struct{ t, w float64 }

// until is the time until the sum h of water is gone: 49 cases, each as likely
// as it is, put in order. The strongest heat comes first, for it is soonest
// done: so most cases stand where they belong when they are put in.
func (o *outlook) until(h row, t *thought) Range {
	mean, perNode, sd := t.given(h)
	var cases [len(nodes) * len(nodes)]weighed
	n, sum := 0, 0.0
	for i := len(nodes) - 1; i >= 0; i-- {
		zi := nodes[i]
		for _, zj := range nodes {
			kg := mean + float64(perNode*zi) + float64(sd*zj)
			c := weighed{0, 1}
			if kg > 0 {
				c.t = math.Min(longest, o.wait+(kg+o.spare)/o.rate[i])
			} else {
				c.w = dryShown
			}
			sum += c.w
			k := n
			for ; k > 0 && cases[k-1].t > c.t; k-- {
				cases[k] = cases[k-1]
			}
			cases[k] = c
			n++
		}
	}
	return Range{quantile(&cases, 0.1*sum), quantile(&cases, 0.5*sum), quantile(&cases, 0.9*sum)}
}

// quantile walks the cases to the weight at and goes straight between two.
func quantile(cases *[len(nodes) * len(nodes)]weighed, at float64) float64 {
	sum, last := 0.0, weighed{}
	for i, c := range cases {
		half := float64(c.w / 2)
		middle := sum + half
		if middle >= at {
			if i == 0 {
				return c.t
			}
			begin := sum - float64(last.w/2)
			part := (at - begin) / (middle - begin)
			return last.t + float64(part*(c.t-last.t))
		}
		sum += c.w
		last = c
	}
	return last.t
}

// chance is how likely the base is bare within s seconds.
func (o *outlook) chance(s float64, t *thought) float64 {
	mean, perNode, sd := t.given(margin)
	yes, all := 0.0, 0.0
	for i, z := range nodes {
		m := mean + float64(perNode*z)
		now := repeatable.Phi(-m / sd)
		lost := float64(o.rate[i] * math.Max(0, s-o.wait))
		then := now
		if lost > o.spare {
			then = repeatable.Phi((lost - o.spare - m) / sd)
		}
		yes += then - now + float64(dryShown*now)
		all += 1 - now + float64(dryShown*now)
	}
	return yes / all
}

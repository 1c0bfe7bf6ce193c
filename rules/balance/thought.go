package balance

import "math"

// The things that are thought about together.
const (
	inPan    = iota // water in the pan, kg
	toWet           // water that wets the base, kg
	hob             // ln of the heat into the water, W
	air             // ln of this pan's evaporation over the published law
	thoughts        // how many
)

// thought is a normal distribution over them: what is thought most likely, and
// how wrong it may be together.
type thought struct {
	x [thoughts]float64
	p [thoughts][thoughts]float64 // covariance
}

// row picks a sum out of the things: the coefficients of each.
type row [thoughts]float64

func (t *thought) sd(i int) float64 { return math.Sqrt(math.Max(0, t.p[i][i])) }

// of returns mean and variance of a sum.
func (t *thought) of(h row) (mean, variance float64) {
	for i := range h {
		mean += float64(h[i] * t.x[i])
		for j := range h {
			variance += float64(float64(h[i]*h[j]) * t.p[i][j])
		}
	}
	return mean, math.Max(0, variance)
}

// forget replaces what is thought of one thing.
func (t *thought) forget(i int, mean, sd float64) {
	t.x[i] = mean
	for j := range t.p {
		t.p[i][j], t.p[j][i] = 0, 0
	}
	t.p[i][i] = float64(sd * sd)
}

// surprise is how many standard deviations a message may be off before it is
// believed less: one message must not carry the pan away.
const surprise = 2.5

// hear takes a message: the sum h was found to differ by from what was thought,
// with the variance v. It is the Kalman update.
func (t *thought) hear(h row, by, v float64) {
	var ph [thoughts]float64
	s := v
	for i := range h {
		for j := range h {
			ph[i] += float64(t.p[i][j] * h[j])
		}
		s += float64(h[i] * ph[i])
	}
	if s <= 0 || math.IsNaN(by) {
		return
	}
	s = math.Max(s, float64(by*by)/(surprise*surprise))
	for i := range h {
		gain := ph[i] / s
		t.x[i] += float64(gain * by)
		for j := range h {
			t.p[i][j] -= float64(gain * ph[j])
		}
	}
	t.mend()
}

// mould moves the mean of the sum h by by, keeps a share of its variance, and
// takes along what hangs together with it.
func (t *thought) mould(h row, by, keeps float64) {
	_, v := t.of(h)
	if v <= 0 {
		return
	}
	var ph [thoughts]float64
	for i := range h {
		for j := range h {
			ph[i] += float64(t.p[i][j] * h[j])
		}
	}
	less := (1 - math.Max(0.05, math.Min(1, keeps))) / v
	for i := range h {
		t.x[i] += float64(ph[i] * by / v)
		for j := range h {
			t.p[i][j] -= float64(ph[i] * ph[j] * less)
		}
	}
	t.mend()
}

// mend keeps the covariance symmetric and its diagonal positive.
func (t *thought) mend() {
	for i := range t.p {
		t.p[i][i] = math.Max(t.p[i][i], 1e-9)
		for j := range i {
			m := (t.p[i][j] + t.p[j][i]) / 2
			t.p[i][j], t.p[j][i] = m, m
		}
	}
}

// most is more water than any pan holds, kg.
const most = 100.0

// lose lets kg leave the pan, whose change with the things is slope.
func (t *thought) lose(kg float64, slope row) {
	t.x[inPan] -= kg
	// p becomes F·p·Fᵀ with F = 1 - (row slope in the line of inPan)
	var d [thoughts]float64
	for j := range d {
		for i := range slope {
			d[j] += float64(slope[i] * t.p[i][j])
		}
	}
	own := 0.0
	for i := range slope {
		own += float64(slope[i] * d[i])
	}
	for j := range d {
		t.p[inPan][j] -= d[j]
		t.p[j][inPan] -= d[j]
	}
	t.p[inPan][inPan] += own
	t.x[inPan] = math.Max(0, math.Min(most, t.x[inPan]))
	t.mend()
}

package cooling

import (
	"math"

	"bainward/rules/repeatable"
)

// vector holds the amplitudes of a pair: of the slow exponential u, of what the
// fast one adds to it, v-u, and of the rest that stays.
type vector [3]float64

// pair is what one pair of exponentials makes of all readings: the amplitudes and
// their doubt, and the logarithm of how likely it is.
type pair struct {
	slow, fast float64
	amplitude  vector
	root       triangle // of the weights of the amplitudes
	ln         float64
}

// fit weighs readings and belief against each other: Bayes's rule for a model that
// is linear in its amplitudes, with normal errors, in closed form (C. E. Rasmussen
// and C. K. I. Williams, Gaussian Processes for Machine Learning, 2.1.1; from
// memory).
func (p *Predictor) fit(i, j int, rate [rungs]float64) pair {
	k := fastRung(i, j)
	f := pair{slow: rate[i], fast: rate[k]}
	b := p.believe(f.slow)
	const w = 1 / (noiseC * noiseC)
	u, v := p.u[i], p.u[k]
	uu, uv, vv, uy, vy := p.uu[i], p.uv[i][j], p.uu[k], p.uy[i], p.uy[k]
	weights := [6]float64{ // row by row, below the diagonal
		float64(w*uu) + b.weight[0],
		float64(w * (uv - uu)), float64(w*(vv-float64(2*uv)+uu)) + b.weight[1],
		float64(w * u), float64(w * (v - u)), float64(w*p.n) + b.weight[2],
	}
	pull := vector{
		float64(w*uy) + float64(b.weight[0]*b.mean[0]),
		float64(w*(vy-uy)) + float64(b.weight[1]*b.mean[1]),
		float64(w*p.y) + float64(b.weight[2]*b.mean[2]),
	}
	f.root = rootOf(weights)
	half := f.root.forward(pull)
	f.amplitude = f.root.back(half)
	f.ln = usual(f.slow) + float64(half.squared()/2)
	for d := range 3 {
		f.ln -= float64(b.weight[d] * b.mean[d] * b.mean[d] / 2)
		f.ln += float64(repeatable.Log(b.weight[d])/2) - repeatable.Log(f.root.diagonal(d))
	}
	return f
}

// shape is what each amplitude counts for after t.
func (f pair) shape(t float64) vector {
	u, v := fall(f.slow, t), fall(f.fast, t)
	return vector{u, v - u, 1}
}

// parts returns what is left after t of the exponentials, and what stays.
func (f pair) parts(t float64) (falls, stays float64) {
	s := f.shape(t)
	return float64(f.amplitude[0]*s[0]) + float64(f.amplitude[1]*s[1]), f.amplitude[2]
}

// triangle is the lower root of a symmetric matrix (Cholesky), row by row.
type triangle [6]float64

func rootOf(m [6]float64) (l triangle) {
	l[0] = math.Sqrt(m[0])
	l[1] = m[1] / l[0]
	l[2] = math.Sqrt(m[2] - float64(l[1]*l[1]))
	l[3] = m[3] / l[0]
	l[4] = (m[4] - float64(l[3]*l[1])) / l[2]
	l[5] = math.Sqrt(m[5] - float64(l[3]*l[3]) - float64(l[4]*l[4]))
	return l
}

func (l triangle) diagonal(i int) float64 { return l[i*(i+3)/2] }

// forward solves l·x = y.
func (l triangle) forward(y vector) (x vector) {
	x[0] = y[0] / l[0]
	x[1] = (y[1] - float64(l[1]*x[0])) / l[2]
	x[2] = (y[2] - float64(l[3]*x[0]) - float64(l[4]*x[1])) / l[5]
	return x
}

// back solves lᵀ·x = y.
func (l triangle) back(y vector) (x vector) {
	x[2] = y[2] / l[5]
	x[1] = (y[1] - float64(l[4]*x[2])) / l[2]
	x[0] = (y[0] - float64(l[1]*x[1]) - float64(l[3]*x[2])) / l[0]
	return x
}

func (v vector) squared() float64 {
	return float64(v[0]*v[0]) + float64(v[1]*v[1]) + float64(v[2]*v[2])
}

package repeatable

// pair is an unevaluated sum hi + lo with |lo| no more than half an ulp of hi:
// a number of about 106 bits.
//
// Sources: T. J. Dekker, "A floating-point technique for extending the
// available precision", Numer. Math. 18 (1971) 224-242; D. E. Knuth, The Art of
// Computer Programming, vol. 2, §4.2.2 (the sum without a branch).
type pair struct{ hi, lo float64 }

// sum returns a + b without error.
func sum(a, b float64) pair {
	s := a + b
	t := s - a
	return pair{s, (a - (s - t)) + (b - t)}
}

// quickSum returns a + b without error if |a| ≥ |b| or a is zero.
func quickSum(a, b float64) pair {
	s := a + b
	return pair{s, b - (s - a)}
}

// product returns a·b without error, as long as neither comes near the ends of
// the exponent range (|a|, |b| < 2^995).
func product(a, b float64) pair {
	p := float64(a * b)
	ah, al := split(a)
	bh, bl := split(b)
	e := float64(ah*bh) - p
	e += float64(ah * bl)
	e += float64(al * bh)
	e += float64(al * bl)
	return pair{p, e}
}

// split cuts a into two halves of at most 26 bits, whose products are exact.
func split(a float64) (high, low float64) {
	const veltkamp = 1<<27 + 1
	c := float64(veltkamp * a)
	high = c - (c - a)
	return high, a - high
}

// times returns p·q.
func (p pair) times(q pair) pair {
	r := product(p.hi, q.hi)
	r.lo += float64(p.hi*q.lo) + float64(p.lo*q.hi)
	return quickSum(r.hi, r.lo)
}

// plus returns p + q; good where the two do not cancel each other.
func (p pair) plus(q pair) pair {
	s := sum(p.hi, q.hi)
	return quickSum(s.hi, s.lo+(p.lo+q.lo))
}

// over returns a / p.
func (p pair) over(a float64) pair {
	q := a / p.hi
	back := product(q, p.hi)
	rest := ((a - back.hi) - back.lo) - float64(q*p.lo)
	return quickSum(q, rest/p.hi)
}

package ledger

import (
	"math"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
)

// Amount is a quantity as the maker wrote it. The zero Amount is none.
type Amount rules.Quantity

// ParseAmount reads a number and a unit, such as "220 g" or "100 ml".
func ParseAmount(s string) (Amount, error) {
	q, err := rules.ParseQuantity(s)
	return Amount(q), err
}

// IsZero reports whether no amount was given.
func (a Amount) IsZero() bool { return !rules.Quantity(a).Given() }

func (a Amount) String() string { return rules.Quantity(a).String() }

// MarshalText writes the amount as ParseAmount reads it; none is empty.
func (a Amount) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (a *Amount) UnmarshalText(text []byte) (err error) {
	*a = Amount{}
	if len(text) > 0 {
		*a, err = ParseAmount(string(text))
	}
	return err
}

// isVolume: what has no mass without a density is a volume.
func (a Amount) isVolume() bool { return !a.IsZero() && rules.Quantity(a).Kilograms(0) == 0 }

// ml returns a volume in ml.
func (a Amount) ml() float64 { return rules.Quantity(a).Kilograms(1) * 1000 }

// scaleKg is within how much a kitchen scale weighs, if the maker says nothing
// else (common practice, no source).
const scaleKg = 0.002

// kg returns the mass: weighed within kg, or measured as oil o at a temperature.
func (a Amount) kg(o larder.Oil, celsius, within float64) amount.Range {
	if a.isVolume() {
		return o.Kg(a.ml(), celsius)
	}
	kg := rules.Quantity(a).Kilograms(0)
	return amount.NotBelowZero(amount.Between(kg-within, kg, kg+within))
}

// microlitres is a volume as the books count it: whole numbers, so that what was
// given and what is left always add up to what was filled.
type microlitres int64

func (v microlitres) ml() float64 { return float64(v) / 1000 }

// volume returns how much room the amount of oil o takes at a temperature.
func (a Amount) volume(o larder.Oil, celsius float64) microlitres {
	if a.isVolume() {
		return microlitres(math.Round(a.ml() * 1000))
	}
	kg := rules.Quantity(a).Kilograms(0)
	return microlitres(math.Round(kg / o.Density(celsius).P50 * 1e9))
}

// Span is a range as programs read it: of ten such figures one lies below P10
// and one above P90.
type Span struct {
	P10 float64 `json:"p10"`
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

// spanOf returns r to the milligram, the microlitre or their like; nil if it is
// not known.
func spanOf(r amount.Range) *Span {
	if !r.Known() || math.IsInf(r.P90, 0) {
		return nil
	}
	return &Span{rounded(r.P10), rounded(r.P50), rounded(r.P90)}
}

func rounded(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// Range returns s as a range; nil is unknown.
func (s *Span) Range() amount.Range {
	if s == nil {
		return amount.Unknown
	}
	return amount.Between(s.P10, s.P50, s.P90)
}

// plus adds ranges whose doubts have nothing to do with each other.
func plus(all ...amount.Range) amount.Range {
	return amount.Propagate(func(x []float64) float64 {
		var sum float64
		for _, v := range x {
			sum += v
		}
		return sum
	}, all...)
}

func less(a, b amount.Range) amount.Range {
	return amount.Propagate(func(x []float64) float64 { return x[0] - x[1] }, a, b)
}

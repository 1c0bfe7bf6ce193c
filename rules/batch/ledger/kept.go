package ledger

import (
	"fmt"
	"math"
	"time"

	"bainward/rules"
)

// Kept is how warm a place was for a time, as its probe measured it.
type Kept struct {
	Until    time.Time `json:"until"`    // up to when the record tells
	Measured float64   `json:"measured"` // share of the time for which there are readings, 0 to 1
	KineticC float64   `json:"kinetic_c"`
	MaxC     float64   `json:"max_c"`
}

// kept is what was measured of a place between two instants; nil if nothing was.
func (s *stores) kept(p Place, from, until time.Time) *Kept {
	place, ok := p.Storage()
	if !ok || !until.After(from) {
		return nil
	}
	t := &s.of[place]
	k := t.sum(place, from, until).kinetic
	celsius := k.Celsius()
	if k.Weight() < time.Second.Hours() || math.IsNaN(celsius) {
		return nil
	}
	return &Kept{
		Until: until, Measured: min(1, thousandth(k.Weight()/until.Sub(from).Hours())),
		KineticC: thousandth(celsius), MaxC: thousandth(t.max(from, until)),
	}
}

// thousandth keeps what means something.
func thousandth(v float64) float64 { return math.Round(v*1000) / 1000 }

// Words says it on one line.
func (k Kept) Words(u rules.Units) string {
	return fmt.Sprintf("measured %s of the time: mean kinetic temperature %s, warmest %s", percent(k.Measured), u.Temp(k.KineticC), u.Temp(k.MaxC))
}

// percent rounds towards what is said less proudly: only all of it is 100 %.
func percent(share float64) string {
	switch n := math.Floor(share * 100); {
	case share > 0 && n < 1:
		return "under 1 %"
	default:
		return fmt.Sprintf("%.0f %%", n)
	}
}

// KineticWords explains the mean kinetic temperature, once on a page.
const KineticWords = "The mean kinetic temperature is the one steady temperature at which the oil would have aged as much; warm hours count for more in it than cold ones."

// stood is how warm it was where a bottle stood in one of its stays.
func (l *Ledger) stood(o *bottle, i int) *Kept {
	from, until := o.stay(i, l.stores.asOf)
	return l.stores.kept(o.stays[i].Place, from, until)
}

// stay is from when until when a bottle stood somewhere, as far as is known at asOf.
// An empty one stands nowhere.
func (o *bottle) stay(i int, asOf time.Time) (from, until time.Time) {
	from, until = o.stays[i].When, asOf
	if o.left == 0 && len(o.gifts) > 0 {
		until = earlier(until, o.gifts[len(o.gifts)-1].When)
	}
	if i+1 < len(o.stays) {
		until = earlier(until, o.stays[i+1].When)
	}
	return from, until
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// sooner is by how many days a bottle is to be smelled at sooner than others, since
// it stood warm after somebody smelled at it last.
func (l *Ledger) sooner(o *bottle, since time.Time) int {
	hours := 0.0
	for i, s := range o.stays {
		from, until := o.stay(i, l.stores.asOf)
		if from.Before(since) {
			from = since
		}
		place, ok := s.Place.Storage()
		if ok && until.After(from) {
			hours += l.stores.of[place].sum(place, from, until).sooner
		}
	}
	// A whisker is added for what the sums of years lose.
	return int(math.Floor(hours/24 + 1e-9))
}

package ledger

import (
	"fmt"
	"math"
	"slices"
	"time"

	"bainward/rules/batch/shelf"
)

// Stored is a span of a place, an hour of it at most, and what its probe measured:
// what the record tells of where bottles stand.
type Stored struct {
	Place    Place
	From, To time.Time
	Measured time.Duration // for so much of it the probe gave a temperature
	// In °C, of what was measured.
	KineticC, MinC, MaxC float64
	WarmC                float64 // above it the place is too warm
}

func (s Stored) check() error {
	switch lasted := s.To.Sub(s.From); {
	case s.Place.check() != nil:
		return s.Place.check()
	case lasted <= 0 || s.Measured < 0 || s.Measured > lasted:
		return fmt.Errorf("of %s from %s to %s measured %s: that is no span", s.Place, s.From, s.To, s.Measured)
	case s.Measured > 0 && !(s.MinC <= s.KineticC && s.KineticC <= s.MaxC):
		return fmt.Errorf("a mean kinetic temperature of %v °C between %v and %v °C", s.KineticC, s.MinC, s.MaxC)
	}
	return nil
}

// stores is what was measured of each place. Books and their clones share it up to
// the length that each has of it.
type stores struct {
	of [3]store // by shelf.Storage
	// asOf is up to when anything is known.
	asOf time.Time
}

// store is one place: its spans by their ends, and for each what they and those
// before them come to.
type store struct {
	spans []Stored
	sums  []sums
	// warmest of each blockOf spans, that the warmest of years is found at once.
	warmest []float64
}

// sums is what the spans up to one come to.
type sums struct {
	kinetic shelf.Kinetic // by hours
	sooner  float64       // hours: see shelf.Storage.Sooner
}

const blockOf = 64

// Store takes in what was measured of a place. Spans come in order; one that does
// not, since the clock was set back, is put where it belongs.
func (l *Ledger) Store(s Stored) error {
	if err := s.check(); err != nil {
		return err
	}
	place, _ := s.Place.Storage()
	l.stores.asOf = s.To
	t := &l.stores.of[place]
	i := len(t.spans)
	for i > 0 && t.spans[i-1].To.After(s.To) {
		i--
	}
	if i == len(t.spans) {
		t.add(place, s)
		return nil
	}
	all := slices.Insert(slices.Clone(t.spans), i, s)
	*t = store{}
	for _, s := range all {
		t.add(place, s)
	}
	return nil
}

// add puts a span behind the others.
func (t *store) add(place shelf.Storage, s Stored) {
	n := len(t.spans)
	sum := s.sums(place)
	if n > 0 {
		sum = sums{t.sums[n-1].kinetic.And(sum.kinetic), t.sums[n-1].sooner + sum.sooner}
	}
	warmest := math.Inf(-1)
	if s.Measured > 0 {
		warmest = s.MaxC
	}
	t.spans, t.sums = append(t.spans, s), append(t.sums, sum)
	if n%blockOf == 0 {
		t.warmest = append(t.warmest, warmest)
		return
	}
	t.warmest = slices.Clone(t.warmest) // clones share what is in it
	t.warmest[n/blockOf] = max(t.warmest[n/blockOf], warmest)
}

// sums of one span. It ages the oil faster only where it is warmer than the place
// may be: in a refrigerator at 6 °C nobody smells more often.
func (s Stored) sums(place shelf.Storage) sums {
	hours := s.Measured.Hours()
	one := sums{kinetic: shelf.Kinetic{}.With(s.KineticC, hours)}
	if s.KineticC > s.WarmC {
		one.sooner = place.Sooner(s.KineticC, hours)
	}
	return one
}

// part is which part of a span lies between two instants, 0 to 1.
func (s Stored) part(from, to time.Time) float64 {
	if s.From.After(from) {
		from = s.From
	}
	if s.To.Before(to) {
		to = s.To
	}
	return max(0, to.Sub(from).Hours()/s.To.Sub(s.From).Hours())
}

// between returns which spans have something of the time between two instants, the
// last not included.
func (t *store) between(from, to time.Time) (first, last int) {
	first, _ = slices.BinarySearchFunc(t.spans, from, func(s Stored, at time.Time) int {
		if s.To.After(at) {
			return 1
		}
		return -1
	})
	last, _ = slices.BinarySearchFunc(t.spans, to, func(s Stored, at time.Time) int {
		if s.From.Before(at) {
			return -1
		}
		return 1
	})
	return first, last
}

// sum is what a place was between two instants. A span that lies across one of
// them counts in proportion.
func (t *store) sum(place shelf.Storage, from, to time.Time) sums {
	first, last := t.between(from, to)
	if first >= last {
		return sums{}
	}
	all := t.sums[last-1]
	if first > 0 {
		all = sums{all.kinetic.Less(t.sums[first-1].kinetic), all.sooner - t.sums[first-1].sooner}
	}
	for _, i := range slices.Compact([]int{first, last - 1}) {
		if outside := 1 - t.spans[i].part(from, to); outside > 0 {
			edge := t.spans[i].sums(place)
			all = sums{all.kinetic.Less(edge.kinetic.Part(outside)), all.sooner - float64(edge.sooner*outside)}
		}
	}
	return all
}

// max is the warmest that was measured between two instants; -Inf: nothing was.
func (t *store) max(from, to time.Time) float64 {
	first, last := t.between(from, to)
	warmest := math.Inf(-1)
	for i := first; i < last; i++ {
		if i%blockOf == 0 && i+blockOf <= last {
			warmest = max(warmest, t.warmest[i/blockOf])
			i += blockOf - 1
			continue
		}
		if s := t.spans[i]; s.Measured > 0 {
			warmest = max(warmest, s.MaxC)
		}
	}
	return warmest
}

// clone shares what is there already.
func (s stores) clone() stores {
	for i, t := range s.of {
		s.of[i] = store{slices.Clip(t.spans), slices.Clip(t.sums), slices.Clip(t.warmest)}
	}
	return s
}

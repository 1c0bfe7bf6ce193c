package ledger

import (
	"slices"
	"strconv"
	"time"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/shelf"
)

// checkMonths is how long a bottle stands until somebody should smell at it again
// (common practice, no source).
const checkMonths = 3

// bottle is one bottle as the books keep it.
type bottle struct {
	batch  string
	number int
	filled Entered[Bottles]
	volume microlitres
	left   microlitres
	stays  []Stay
	gifts  []Gift
	checks []Check
}

// Stay is a bottle coming to a place.
type Stay struct {
	Entry int64     `json:"entry"`
	When  time.Time `json:"when"`
	Day   Day       `json:"-"` // at the site
	Who   string    `json:"who"`
	Place Place     `json:"place"`
	// Kept is how warm it was there meanwhile; nil: nobody measured it.
	Kept *Kept `json:"kept,omitzero"`
}

// Gift is oil leaving a bottle.
type Gift struct {
	Entry   int64     `json:"entry"`
	When    time.Time `json:"when"`
	Day     Day       `json:"-"` // at the site
	Who     string    `json:"who"`
	Ml      float64   `json:"ml"` // at the temperature at which the bottle was filled
	To      string    `json:"reference,omitzero"`
	Product string    `json:"product,omitzero"`
	Name    string    `json:"name,omitzero"`
	Thrown  bool      `json:"thrown,omitzero"`
	Despite string    `json:"despite,omitzero"`
}

// Check is a nose held over a bottle.
type Check struct {
	Entry int64     `json:"entry"`
	When  time.Time `json:"when"`
	Day   Day       `json:"-"` // at the site
	Who   string    `json:"who"`
	Smell Smell     `json:"smell"`
}

func (o *bottle) id() string { return BottleID(o.batch, o.number) }

func (o *bottle) rancid() bool {
	return slices.ContainsFunc(o.checks, func(c Check) bool { return c.Smell == Rancid })
}

// bottle returns the bottle of that number, nil if there is none.
func (b *batch) bottle(n int) *bottle {
	i, found := b.find(n)
	if !found {
		return nil
	}
	return b.bottles[i]
}

// find returns where among the bottles that of a number is, or belongs.
func (b *batch) find(n int) (i int, found bool) {
	return slices.BinarySearchFunc(b.bottles, n, func(o *bottle, n int) int { return o.number - n })
}

func (b *batch) fill(e Entry, f Bottles) {
	v := b.volume(f.Each, f.AtC) // once for all: they are alike
	for _, n := range f.Numbers {
		b.bottles = append(b.bottles, &bottle{
			batch: f.Batch, number: n, filled: entered(e, f), volume: v, left: v,
			stays: []Stay{{Entry: e.Seq, When: e.When, Day: e.Day, Who: e.Who, Place: f.Place}},
		})
	}
	slices.SortFunc(b.bottles, func(x, y *bottle) int { return x.number - y.number })
}

// volume returns how much room an amount of the batch's oil takes.
func (b *batch) volume(a Amount, atC float64) microlitres {
	if atC == 0 {
		atC = 20 // it was weighed; the volume is that at the usual temperature
	}
	return a.volume(b.oil(), atC)
}

// volumeOf returns how much left a bottle. A volume counts as it was filled: in a
// room it differs by under one part in a hundred, less than anybody pours.
func (b *batch) volumeOf(f Given, o *bottle) microlitres {
	if f.All {
		return o.left
	}
	return b.volume(f.Quantity, o.filled.Fact.AtC)
}

// oil returns the oil of which there is most in the batch.
func (b *batch) oil() larder.Oil {
	best, most := larder.FindOil(""), 0.0
	for _, m := range b.materials {
		if m.Fact.What != Oil {
			continue
		}
		o := larder.FindOil(m.Fact.Name)
		if kg := m.Fact.Quantity.kg(o, m.Fact.AtC, scaleKg).P50; kg > most {
			best, most = o, kg
		}
	}
	return best
}

// oilBest returns the earliest date of the batch's oils.
func (b *batch) oilBest() Day {
	var best Day
	for _, m := range b.materials {
		d := m.Fact.BestBefore
		if m.Fact.What == Oil && !d.IsZero() && (best.IsZero() || d.Before(best)) {
			best = d
		}
	}
	return best
}

func (b *batch) fresh() bool {
	return slices.ContainsFunc(b.materials, func(m Entered[Material]) bool { return m.Fact.State == Fresh })
}

// useBy returns until when a bottle is good. It begins with what shelf says of
// the place where it first stood. Every move to a warmer place shortens what is
// still to come as much as oil keeps shorter there; a move to a cooler one gives
// nothing back, for the label is printed.
func (b *batch) useBy(o *bottle) shelf.Date {
	f := o.filled.Fact
	keeps := shelf.Bottles{
		Made: b.opened.Day.Time(), OilBest: b.oilBest().Time(), Fresh: b.fresh(),
		Water: map[Seen]shelf.Water{NoWater: shelf.WaterGone, WaterIn: shelf.WaterLeft}[f.Water],
	}
	keeps.Storage, _ = f.Place.Storage()
	date := shelf.UseBy(keeps)
	if date.Reason == shelf.ByWater {
		return b.asLabelled(date, f)
	}
	keeps.OilBest = time.Time{}
	by, months := shelf.UseBy(keeps).By, shelf.Months(keeps.Storage.Celsius())
	for _, s := range o.stays[1:] {
		place, _ := s.Place.Storage()
		if m := shelf.Months(place.Celsius()); m < months {
			by, months = shortened(by, s.Day.Time(), m, months), m
		}
	}
	if by.Before(date.By) {
		date.By, date.Reason, date.Source = by, shelf.ByStorage, "it was moved to a warmer place, where what it had left to keep shrinks alike"
	}
	return b.asLabelled(date, f)
}

// shortened returns the date by, if from a day on oil keeps for months instead of
// for before, which is more.
func shortened(by, from time.Time, months, before int) time.Time {
	left := by.Sub(from) / (24 * time.Hour)
	if left <= 0 {
		return by
	}
	return from.AddDate(0, 0, int(left)*months/before)
}

// asLabelled lets the maker's own date shorten the reckoned one.
func (b *batch) asLabelled(d shelf.Date, f Bottles) shelf.Date {
	if own := f.UseBy.Time(); !f.UseBy.IsZero() && own.Before(d.By) {
		d.By, d.Source = own, "the maker's own date"
	}
	return d
}

// kg returns the mass of the oil that was filled into the bottle, if it is oil.
func (o *bottle) kg(oil larder.Oil) amount.Range {
	f := o.filled.Fact
	if !f.Each.isVolume() {
		return f.Each.kg(oil, f.AtC, scaleKg)
	}
	return oil.Kg(o.volume.ml(), f.AtC)
}

// mlWords writes a volume without the unit, in full: what is refused is counted so.
func mlWords(v microlitres) string { return strconv.FormatFloat(v.ml(), 'f', -1, 64) }

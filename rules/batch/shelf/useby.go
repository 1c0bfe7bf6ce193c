package shelf

import (
	"fmt"
	"time"
)

// Water tells whether water is left in the finished oil.
type Water uint8

// What is known of the water.
const (
	WaterUnknown Water = iota // nobody looked
	WaterGone                 // clear and bright, nothing at the bottom, nothing sizzles
	WaterLeft                 // cloudy, or drops at the bottom
)

// Bottles is what the date of a bottle depends on.
type Bottles struct {
	Made    time.Time
	Storage Storage
	// MeasuredC is the store's mean kinetic temperature in °C, if it was Measured;
	// it takes the place of what the storage stands for.
	MeasuredC float64
	Measured  bool
	// OilBest is the base oil's own date; of several oils, the earliest.
	OilBest time.Time
	Fresh   bool // made from fresh herb
	Water   Water
	// TestedMonths is a minimum durability that the maker has shown by test, in
	// months; 0: none was.
	TestedMonths int
}

// Reason tells what set a date.
type Reason uint8

// The reasons.
const (
	ByStorage Reason = iota // how long oil keeps in such a place
	ByOil                   // the base oil's own date
	ByWater                 // water is left in it
	ByTest                  // the maker's own test
	NoDate                  // nobody said when it was made
)

// Date is until when an oil is good, and why.
type Date struct {
	By     time.Time
	Reason Reason
	Source string
	// Notes are what a person should know beside the date.
	Notes []string
}

// wetDays: herbs in oil with water about them are kept in the refrigerator for
// 2 to 4 days by Oklahoma State University Extension, 4 at most by the
// University of Idaho (2013): Clostridium botulinum grows without air.
const wetDays = 4

// UseBy returns until when the bottles are good. It is never later than the
// oil's own date.
func UseBy(b Bottles) Date {
	made := dayOf(b.Made)
	if made.IsZero() {
		return Date{Reason: NoDate, Source: "none", Notes: []string{"Nobody said when this oil was made: no date can be given."}}
	}
	d := b.bySelf(made)
	switch best := dayOf(b.OilBest); {
	case best.IsZero():
		d.Notes = append(d.Notes, "The base oil's own date is not known. Look at its bottle: this date must not be later.")
	case best.Before(d.By):
		d.By, d.Reason, d.Source = best, ByOil, "the base oil's own date"
		if best.Before(made) {
			d.Notes = append(d.Notes, "The base oil was past its date when this was made.")
		}
	}
	if b.Fresh && b.Water == WaterUnknown {
		d.Notes = append(d.Notes, "Made from fresh herb: the date holds only if no water is left. Look for cloudiness and for drops at the bottom.")
	}
	d.Notes = append(d.Notes, "If it smells rancid, sour or musty, throw it away whatever the date.")
	return d
}

// bySelf is the date without regard to the base oil.
func (b Bottles) bySelf(made time.Time) Date {
	switch {
	case b.Water == WaterLeft:
		return Date{
			By: made.AddDate(0, 0, wetDays), Reason: ByWater,
			Source: "Oklahoma State University Extension, University of Idaho 2013: herbs in oil 2 to 4 days, in the refrigerator",
			Notes:  []string{"Water is left in it: it spoils and can grow Clostridium botulinum. Keep it in the refrigerator; it is not for eating."},
		}
	case b.TestedMonths > 0:
		return Date{By: AddMonths(made, b.TestedMonths), Reason: ByTest, Source: "the maker's own test"}
	}
	c := b.Storage.Celsius()
	if b.Measured {
		c = b.MeasuredC
	}
	months := Months(c)
	return Date{
		By: AddMonths(made, months), Reason: ByStorage,
		Source: fmt.Sprintf("%d months %s (about two years cold and dark: common practice, no source; half at 10 °C more)", months, b.Storage),
	}
}

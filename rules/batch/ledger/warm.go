package ledger

import (
	"fmt"
	"time"

	"bainward/rules"
	"bainward/rules/batch/shelf"
)

// PlaceNow is how a place that is measured has been over the last day.
type PlaceNow struct {
	Place Place     `json:"place"`
	From  time.Time `json:"from"`  // a day before Until, or when it began to be measured
	Until time.Time `json:"until"` // up to when the record tells
	WarmC float64   `json:"warm_c"`
	Day   *Kept     `json:"day"` // nil: its probe gave nothing
	Warm  bool      `json:"warm"`
}

// aDay is over what a place is judged: a door that stood open is no warm place, and
// a refrigerator that failed is told on the next morning (common practice, no source).
const aDay = 24 * time.Hour

// enough of a day must have been measured to call a place warm by it.
const enough = 0.5

// PlacesNow lists the places of which the last day of the record tells anything.
func (l *Ledger) PlacesNow() []PlaceNow {
	all := []PlaceNow{}
	for _, p := range []Place{Room, Cool, Fridge} {
		place, _ := p.Storage()
		spans := l.stores.of[place].spans
		until, from := l.stores.asOf, l.stores.asOf.Add(-aDay)
		if len(spans) == 0 || !spans[len(spans)-1].To.After(from) {
			continue
		}
		if first := spans[0].From; first.After(from) {
			from = first
		}
		now := PlaceNow{Place: p, From: from, Until: until, WarmC: spans[len(spans)-1].WarmC, Day: l.stores.kept(p, from, until)}
		now.Warm = now.whole() && now.Day != nil && now.Day.Measured >= enough && now.Day.KineticC > now.WarmC
		all = append(all, now)
	}
	return all
}

// whole reports whether there is a day to judge by.
func (p PlaceNow) whole() bool { return p.Until.Sub(p.From) >= aDay }

// PlacesDue lists those of PlacesNow that somebody should see to.
func (l *Ledger) PlacesDue() []PlaceNow {
	all := []PlaceNow{}
	for _, p := range l.PlacesNow() {
		if p.Wants(rules.Metric) != "" {
			all = append(all, p)
		}
	}
	return all
}

// Name is what people call the place.
func (p Place) Name() string {
	switch p {
	case Fridge:
		return "the refrigerator"
	case Cool:
		return "the cool place"
	}
	return "the room"
}

// Wants says what somebody should see to, in one sentence; empty: nothing.
func (p PlaceNow) Wants(u rules.Units) string {
	switch {
	case !p.whole():
	case p.Day == nil:
		return fmt.Sprintf("%s was not measured over the last day: look at its probe, plug and cable", p.Place.Name())
	case p.Warm && p.Place == Fridge:
		return fmt.Sprintf("%s was too warm over the last day, %s, and should be under %s: look at its door and its setting", p.Place.Name(), u.Temp(p.Day.KineticC), u.Temp(p.WarmC))
	case p.Warm:
		return fmt.Sprintf("%s was too warm over the last day, %s, and should be under %s: find the bottles a cooler one", p.Place.Name(), u.Temp(p.Day.KineticC), u.Temp(p.WarmC))
	}
	return ""
}

// Words says how the place has been over the last day.
func (p PlaceNow) Words(u rules.Units) string {
	over := "over the last day "
	if !p.whole() {
		over = "so far "
	}
	if p.Day == nil {
		return over + "not measured"
	}
	return over + p.Day.Words(u)
}

// smellAgain returns the day from which somebody should smell at the bottle again,
// and by how many days that is sooner since it stood warm.
func (l *Ledger) smellAgain(o *bottle) (due Day, sooner int) {
	last, day := o.filled.When, o.filled.Day
	if n := len(o.checks); n > 0 {
		last, day = o.checks[n-1].When, o.checks[n-1].Day
	}
	usual := shelf.AddMonths(day.Time(), checkMonths)
	most := int(usual.Sub(day.Time()) / aDay)
	sooner = min(l.sooner(o, last), most)
	return DayOf(usual.AddDate(0, 0, -sooner)), sooner
}

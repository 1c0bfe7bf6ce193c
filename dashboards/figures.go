package dashboards

import (
	"fmt"
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
)

// Figure is one reckoned number with its range, in the site's units. Of ten
// such figures one lies below Low, and one above High. Where Likely is empty there
// is nothing to say of it now.
type Figure struct {
	Key    string `json:"figure"`
	Name   string `json:"name"`
	Likely Line   `json:"likely"`
	Low    Line   `json:"low"`
	High   Line   `json:"high"`
	Note   Line   `json:"note"` // the range in words, or what else is to be said
}

// Ahead is what comes, in clock times: the floor, the end of the hold, the bare
// base.
func Ahead(s fold.Snapshot) []Figure {
	return []Figure{floorAhead(s), heldAhead(s), bareAhead(s)}
}

// Reckoned is every figure that the rules reckon, for those who want to know
// how sure each of them is. Once the dish is out of the bath all are empty: what
// was thought last is no fact of now.
func Reckoned(s fold.Snapshot) []Figure {
	e, u := s.Estimate, s.Units
	figures := append(Ahead(s), named("dry", "Pan dry", foreseen(s, e.ToDryS, "dry now")))
	for i, f := range figures {
		figures[i] = terse(f)
	}
	figures = append(figures,
		named("water", "Water in the pan", measured(e.WaterKg, u.Water)),
		named("boil_off", "Water lost in an hour", measured(e.BoilOffKgH, u.Water)),
		named("heat", "Heat into the water", measured(e.HeatW, watts)),
		named("dish", "Heat into the dish, a degree", measured(e.DishWPerK, perDegree(u))),
		named("herb_water", "Water still in the herb", herbWater(e, u)),
		named("bare_soon", "Chance of a bare base soon", Figure{Likely: chance(e.BareSoon)}),
	)
	if onTheBoard(s.Phase) {
		for i, f := range figures {
			figures[i] = named(f.Key, f.Name, Figure{})
		}
	}
	return figures
}

// terse leaves out of a time to come what a table says in its columns.
func terse(f Figure) Figure {
	f.Note = nil
	if n := len(f.Likely); n > 1 {
		f.Likely = f.Likely[n-1:]
	}
	return f
}

func named(key, name string, f Figure) Figure {
	f.Key, f.Name = key, name
	return f
}

func floorAhead(s fold.Snapshot) Figure {
	var f Figure
	if s.Phase.Lit() {
		f = foreseen(s, s.ToFloorS, "reached")
	}
	return named("floor", "Oil at its floor", f)
}

func heldAhead(s fold.Snapshot) Figure {
	var f Figure
	switch left := s.HoldAsked - s.Hold; {
	case s.HoldAsked <= 0:
	case left <= 0:
		f = Figure{Likely: say("done")}
	case onTheBoard(s.Phase):
		f = Figure{Likely: say(rules.Minutes(left) + " short")}
	case s.Phase.Lit() && s.ToFloorS.P50 >= farOff: // the rules then say nothing of the hold
		f = Figure{Likely: say(notInSight)}
	case s.Phase.Lit():
		f = foreseen(s, s.ToHeldS, "done")
	}
	return named("held", "Hold done", f)
}

func bareAhead(s fold.Snapshot) Figure {
	var f Figure
	if s.Phase.Lit() {
		f = foreseen(s, s.Estimate.ToBareS, "bare now")
	}
	return named("bare", "Dish base bare", f)
}

// aheadNote says why nothing is told of what comes; it is empty where something
// is.
func aheadNote(p rules.Phase) string {
	switch {
	case onTheBoard(p):
		return "The dish is out of the bath: its water is no longer reckoned."
	case !p.Lit():
		return "Nothing is on the heat, so nothing is reckoned ahead."
	}
	return ""
}

const notInSight = "not in sight"

// foreseen tells when something will be so, if it is left to itself; now stands
// for "it is so".
func foreseen(s fold.Snapshot, r balance.Range, now string) Figure {
	switch {
	case !r.Known() || s.Wall.IsZero():
		return Figure{Likely: say(notKnown)}
	case r.P50 <= 0:
		return Figure{Likely: say(now)}
	case r.P50 >= farOff:
		return Figure{Likely: say(notInSight)}
	}
	f := Figure{Likely: Line{{Text: "about "}, instant(s.Wall, r.P50)}}
	in := "in " + lasting(r.P50)
	if !whole(r) {
		f.Note = say(in)
		return f
	}
	low, high := instant(s.Wall, r.P10), instant(s.Wall, r.P90)
	f.Low, f.High = Line{low}, Line{high}
	if r.P10 <= 0 {
		f.Low = say("now")
	}
	if r.P90 >= farOff {
		f.High = say(notInSight)
	}
	switch {
	case r.P10 <= 0 && r.P90 >= farOff:
		f.Note = say("perhaps now, " + in)
	case r.P10 <= 0:
		f.Note = Line{{Text: "perhaps now, at the latest "}, high, {Text: ", " + in}}
	case r.P90 >= farOff:
		f.Note = Line{low, {Text: " at the earliest, " + in}}
	case low.At.Truncate(time.Minute).Equal(high.At.Truncate(time.Minute)):
		f.Note = say(in)
	default:
		f.Note = Line{low, {Text: " to "}, high, {Text: ", " + in}}
	}
	return f
}

// measured writes a quantity with its range.
func measured(r balance.Range, write func(float64) string) Figure {
	if !r.Known() {
		return Figure{Likely: say(notKnown)}
	}
	f := Figure{Likely: say(write(max(r.P50, 0)))}
	if whole(r) {
		f.Low, f.High = say(write(max(r.P10, 0))), say(write(max(r.P90, 0)))
	}
	return f
}

func herbWater(e balance.Estimate, u rules.Units) Figure {
	f := measured(e.HerbWaterKg, u.Water)
	if e.HerbWaterKg.Known() && e.HerbGone {
		f.Note = say("The herb has given up its water.")
	}
	return f
}

func watts(w float64) string { return fmt.Sprintf("%.0f W", w) }

// perDegree writes a flow of heat for each degree of difference; a kelvin is
// 1.8 degrees Fahrenheit.
func perDegree(u rules.Units) func(float64) string {
	return func(wPerK float64) string {
		if u == rules.US {
			return fmt.Sprintf("%.1f W/°F", wPerK/1.8)
		}
		return fmt.Sprintf("%.1f W/K", wPerK)
	}
}

func chance(part float64) Line {
	if math.IsNaN(part) {
		return say(notKnown)
	}
	return say(fmt.Sprintf("%.0f %%", 100*part))
}

// AskedWords is the question for water that was seen going in; empty if there
// is none to ask.
func AskedWords(s fold.Snapshot) string {
	if !s.Asks {
		return ""
	}
	return "Water was seen going in, about " + s.Units.Water(s.AskedKg) + ". Nobody entered it. How much was it?"
}

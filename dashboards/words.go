package dashboards

import (
	"fmt"
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// Words are the sentences of one bath's page, in the site's units. A page shows
// them and a script puts newer ones in their place; the JSON names are the keys
// by which it finds them.
type Words struct {
	Phase       string `json:"phase"`
	Sentence    string `json:"sentence"`
	Oil         string `json:"oil"`
	OilNote     string `json:"oil_note"`
	BathTemp    string `json:"bath"`
	BathNote    string `json:"bath_note"`
	Room        string `json:"room"`
	Boiling     string `json:"boiling"`
	BoilingFrom string `json:"boiling_from"`
	Floor       string `json:"floor"`
	OilMax      string `json:"oil_max"`
	Hold        string `json:"hold"`
	HoldNote    string `json:"hold_note"`
	Water       string `json:"water"`
	WaterShort  string `json:"water_short"`
	ToBare      string `json:"to_bare"`
	ToDry       string `json:"to_dry"`
	BoilOff     string `json:"boil_off"`
	HerbWater   string `json:"herb_water"`
	TopUps      string `json:"top_ups"`
	Recipe      string `json:"recipe"`
	Batch       string `json:"batch"`
	Asked       string `json:"asked"`
	AheadNote   string `json:"ahead_note"`
}

// notKnown stands wherever a number would be a guess.
const notKnown = "not known yet"

// none stands for a temperature that no probe gave.
const none = "—"

// Describe puts s into words.
func Describe(s fold.Snapshot) Words {
	u := s.Units
	w := Words{
		Phase:       s.Phase.String(),
		Sentence:    s.Sentence,
		Oil:         temp(u, s.Celsius[sensors.Oil]),
		OilNote:     probeNote(s, sensors.Oil),
		BathTemp:    temp(u, s.Celsius[sensors.Bath]),
		BathNote:    probeNote(s, sensors.Bath),
		Room:        temp(u, s.Celsius[sensors.Room]),
		Boiling:     temp(u, s.BoilingC),
		BoilingFrom: boilingFrom(s),
		Floor:       tempOr(u, s.FloorC, notKnown),
		OilMax:      tempOr(u, s.OilMaxC, notKnown),
		Hold:        holdWords(s),
		HoldNote:    holdNote(s),
		Water:       amount(s.Estimate.WaterKg, u.Water, " left"),
		WaterShort:  short(s.Estimate.WaterKg, u.Water),
		ToBare:      until(s.Estimate.ToBareS, "the dish base is bare now"),
		ToDry:       until(s.Estimate.ToDryS, "the pan is dry now"),
		BoilOff:     boilOff(s.Estimate.BoilOffKgH, u),
		HerbWater:   amount(s.Estimate.HerbWaterKg, u.Water, ""),
		TopUps:      fmt.Sprint(s.TopUps),
		Recipe:      recipeWords(s.Recipe, u),
		Batch:       orWord(s.Batch, "none"),
		Asked:       AskedWords(s),
		AheadNote:   aheadNote(s.Phase),
	}
	if onTheBoard(s.Phase) { // no level can harm the oil any more
		w.ToBare, w.ToDry = outOfBath, outOfBath
		// Nothing is reckoned any more: what was thought last is no fact of now.
		w.Water, w.WaterShort, w.BoilOff, w.HerbWater = noMore, noMore, noMore, noMore
	}
	return w
}

const (
	outOfBath = "the dish is out of the bath"
	noMore    = "no longer reckoned"
)

// shortTemp is the temperature of a role for a tight place.
func (w Words) shortTemp(s fold.Snapshot, role sensors.Role) string {
	return tempOr(s.Units, s.Celsius[role], "no reading")
}

func temp(u rules.Units, c float64) string { return tempOr(u, c, none) }

func tempOr(u rules.Units, c float64, otherwise string) string {
	if math.IsNaN(c) || math.IsInf(c, 0) {
		return otherwise
	}
	return u.Temp(c)
}

// probeNote says why there is no temperature; it is empty when there is one.
func probeNote(s fold.Snapshot, role sensors.Role) string {
	switch fault := s.Faults[role]; {
	case fault != sensors.NoFault:
		return fault.String()
	case math.IsNaN(s.Celsius[role]):
		return notKnown
	}
	return ""
}

func boilingFrom(s fold.Snapshot) string {
	if s.Pressure <= 0 {
		return "air pressure " + notKnown
	}
	pressure := fmt.Sprintf("%.0f hPa", float64(s.Pressure)/100)
	if s.Units == rules.US {
		// 1 inHg = 3386.389 Pa (NIST SP 811, appendix B.8, conventional).
		pressure = fmt.Sprintf("%.2f inHg", float64(s.Pressure)/3386.389)
	}
	if s.Measured {
		return "from the barometer: " + pressure
	}
	return "from the site's height, no barometer: " + pressure
}

func holdWords(s fold.Snapshot) string {
	if s.HoldAsked <= 0 {
		return "no hold asked"
	}
	if s.Hold == 0 {
		return rules.Minutes(s.HoldAsked) + " asked, not begun"
	}
	return fmt.Sprintf("%s of %s", rules.Minutes(s.Hold), rules.Minutes(s.HoldAsked))
}

func holdNote(s fold.Snapshot) string {
	floor := tempOr(s.Units, s.FloorC, "")
	switch left := s.HoldAsked - s.Hold; {
	case s.HoldAsked <= 0:
		return ""
	case s.Hold == 0 && floor != "":
		return "counts from " + floor + " in the oil"
	case left <= 0:
		return "done"
	case onTheBoard(s.Phase): // what is missing now stays missing
		return rules.Minutes(left) + " short"
	case floor == "":
		return rules.Minutes(left) + " to go"
	default:
		return fmt.Sprintf("%s to go, counted from %s in the oil", rules.Minutes(left), floor)
	}
}

// amount writes an estimate with its range: "1.1 l left (0.9 l to 1.2 l)".
func amount(r balance.Range, write func(float64) string, suffix string) string {
	if !r.Known() {
		return notKnown
	}
	text := "about " + write(max(r.P50, 0)) + suffix
	if low, high := write(max(r.P10, 0)), write(max(r.P90, 0)); whole(r) && low != high {
		text += fmt.Sprintf(" (%s to %s)", low, high)
	}
	return text
}

func short(r balance.Range, write func(float64) string) string {
	if !r.Known() {
		return "not known"
	}
	return write(max(r.P50, 0))
}

// whole reports whether both ends of r are known.
func whole(r balance.Range) bool { return !math.IsNaN(r.P10) && !math.IsNaN(r.P90) }

// farOff is when counting minutes stops meaning anything, s; the rules reckon no
// further ahead.
const farOff = 24 * 3600

// until writes a time that is left, with its range in plain words.
func until(r balance.Range, now string) string {
	switch {
	case !r.Known():
		return notKnown
	case r.P50 <= 0:
		return now
	case r.P50 >= farOff:
		return "not in sight: hardly any water is lost"
	case !whole(r):
		return "about " + lasting(r.P50)
	case r.P10 <= 0:
		return fmt.Sprintf("about %s, but it may be now (at most %s)", lasting(r.P50), lasting(r.P90))
	case r.P90 >= farOff:
		return fmt.Sprintf("about %s (%s at the least)", lasting(r.P50), lasting(r.P10))
	}
	return fmt.Sprintf("about %s (%s to %s)", lasting(r.P50), lasting(r.P10), lasting(r.P90))
}

func lasting(s float64) string { return rules.Minutes(time.Duration(s * float64(time.Second))) }

func boilOff(r balance.Range, u rules.Units) string {
	if !r.Known() {
		return notKnown
	}
	return amount(r, u.Water, "") + " an hour"
}

func recipeWords(r rules.Recipe, u rules.Units) string {
	if r.Name == "" {
		return "none chosen"
	}
	text := r.Name
	if r.Herb == "" {
		return text
	}
	herb, oil := fmt.Sprintf("%.0f g", r.HerbG), fmt.Sprintf("%.0f ml", r.OilML)
	if u == rules.US {
		herb, oil = fmt.Sprintf("%.1f oz", r.HerbG/28.349523125), u.Water(r.OilML/1000)
	}
	state := "dried"
	if r.Fresh {
		state = "fresh"
	}
	return fmt.Sprintf("%s: %s %s %s in %s %s oil", text, herb, state, r.Herb, oil, r.Oil)
}

func orWord(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

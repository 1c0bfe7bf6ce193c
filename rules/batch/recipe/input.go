package recipe

import (
	"slices"

	"bainward/rules"
)

// Kind is how a field of the form is filled in.
type Kind string

// The kinds.
const (
	Text   Kind = "text"
	Number Kind = "number"
	Whole  Kind = "whole"
	Choice Kind = "choice"
)

// Option is one value of a Choice.
type Option struct{ Value, Text string }

// Group says where on the form a field stands.
type Group uint8

// The groups. What only some makers measure stands behind the rest.
const (
	Usual Group = iota
	Measured
	Temperatures
	GroupCount
)

// Input is one field of the form.
type Input struct {
	Field    Field
	Name     string // in the form: the key, with the unit in which it is typed
	Label    string
	Unit     string // may be empty
	Hint     string // may be empty
	Kind     Kind
	Options  []Option
	Group    Group
	Required bool
	Value    string // as it was typed, or is offered
	Problem  string // what is wrong with it; empty: nothing
}

// Inputs returns the form of a recipe where people read in u, holding what was typed,
// by the names of the form, with each problem at its field.
func Inputs(typed map[string]string, problems []Problem, u rules.Units) []Input {
	all := form()
	for i := range all {
		in := &all[i]
		in.Label = label(in.Field)
		in.Name, in.Unit = formName(in.Field, u), unitOf(in.Field, u).word
		in.Value = typed[in.Name]
		if n := slices.IndexFunc(problems, func(p Problem) bool { return p.Field == in.Field }); n >= 0 {
			in.Problem = problems[n].Text
		}
	}
	return all
}

// form lists the fields in the order in which a maker thinks of them.
func form() []Input {
	return []Input{
		{Field: Name, Kind: Text, Required: true, Hint: "Letters, digits, - and _, such as ribwort-strong."},
		{Field: Herb, Kind: Text, Hint: "Its botanical name and the part, such as Plantago lanceolata, leaf."},
		{Field: Fresh, Kind: Choice, Options: []Option{{"fresh", "fresh"}, {"dried", "dried"}}},
		{Field: HerbG, Kind: Number, Hint: "For one maceration."},
		{Field: Oil, Kind: Text, Hint: "Such as sunflower or olive."},
		{Field: OilG, Kind: Number},
		{Field: HoldMin, Kind: Whole, Hint: "How long the oil is to stay hot enough. Left empty: 120."},
		{Field: Macerations, Kind: Whole, Hint: "How often fresh herb goes into the same oil. Left empty: 1."},
		{Field: OilML, Group: Measured, Kind: Number, Hint: "In place of its weight. A weight is better: warm oil takes more room."},
		{Field: OilMeasuredAt, Group: Measured, Kind: Number, Hint: "Of oil that was measured, not weighed."},
		{Field: HerbBulkML, Group: Measured, Kind: Number, Hint: "So much chopped herb, pressed into a jug."},
		{Field: SampleFreshG, Group: Measured, Kind: Number, Hint: "A handful weighed before and after drying says how much of the herb is water."},
		{Field: SampleDriedG, Group: Measured, Kind: Number},
		{Field: SampleOven, Group: Measured, Kind: Choice, Options: []Option{{"air", "in air, until it crackled"}, {"oven", "in the oven, until it lost no more"}}},
		{Field: Press, Group: Measured, Kind: Choice, Options: []Option{{"none", "by its own weight"}, {"hand", "wrung in a cloth"}, {"screw", "in a press"}}},
		{Field: FloorBelowBoiling, Group: Temperatures, Kind: Number, Hint: "From there the hold counts. Left empty: 15 °C (27 °F) below."},
		{Field: FloorC, Group: Temperatures, Kind: Number, Hint: "In place of the field above: one temperature, whatever the weather."},
		{Field: CeilingC, Group: Temperatures, Kind: Number, Hint: "Above it the oil is too hot. Left empty: where water boils."},
	}
}

// label is what the form calls a field.
func label(f Field) string {
	switch f {
	case Name:
		return "Name"
	case Herb:
		return "Herb"
	case Fresh:
		return "The herb is"
	case HerbG:
		return "Weight of the herb"
	case Oil:
		return "Oil"
	case OilG:
		return "Weight of the oil"
	case HoldMin:
		return "Hold"
	case Macerations:
		return "Macerations"
	case OilML:
		return "Volume of the oil"
	case OilMeasuredAt:
		return "The oil's temperature when measured"
	case HerbBulkML:
		return "Room that the herb takes"
	case SampleFreshG:
		return "Handful, fresh"
	case SampleDriedG:
		return "The same, dried"
	case SampleOven:
		return "The handful was dried"
	case Press:
		return "How the herb is strained"
	case FloorBelowBoiling:
		return "Floor, below where water boils"
	case FloorC:
		return "Floor, fixed"
	case CeilingC:
		return "Ceiling"
	}
	return string(f)
}

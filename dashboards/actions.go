package dashboards

import (
	"slices"

	"bainward/rules"
)

// Need says whether an operator event takes an amount.
type Need uint8

// The needs.
const (
	NoAmount Need = iota
	MayHaveAmount
	NeedsAmount
	NeedsText
)

// Deed is an operator event as the page offers it: what its button says, what
// is asked before it is sent, and which amount goes with it.
type Deed struct {
	Event   string // the fixed word of the event
	Button  string
	Ask     string
	Need    Need
	Label   string   // of the amount or the text
	Units   []string // the first is offered first
	Now     bool     // makes sense now
	Grave   bool     // ends the batch
	Caution string   // said in the confirmation
}

// Asks reports whether an amount is asked for.
func (d Deed) Asks() bool { return d.Need == MayHaveAmount || d.Need == NeedsAmount }

// Optional reports whether the amount may stay empty.
func (d Deed) Optional() bool { return d.Need == MayHaveAmount }

// AsksText reports whether words are asked for.
func (d Deed) AsksText() bool { return d.Need == NeedsText }

// Deeds returns every operator event in the order of the work; those in next
// are marked as making sense now.
func Deeds(next []rules.EventKind, u rules.Units) []Deed {
	water, herb, oil := []string{"l", "ml", "kg", "g"}, []string{"g", "kg"}, []string{"ml", "l", "g", "kg"}
	if u == rules.US {
		water, herb, oil = []string{"floz", "lb", "oz"}, []string{"oz", "lb"}, []string{"floz", "oz", "lb"}
	}
	deeds := make([]Deed, 0, 10)
	add := func(k rules.EventKind, d Deed) {
		d.Event, d.Now = k.String(), slices.Contains(next, k)
		deeds = append(deeds, d)
	}
	add(rules.Fill, Deed{Button: "Water is in the pan", Ask: "Record the water put in the pan?", Need: NeedsAmount, Label: "How much water", Units: water})
	add(rules.Charge, Deed{Button: "Herb and oil are in the dish", Ask: "Record that herb and oil are in the dish?", Need: MayHaveAmount, Label: "How much herb, if not as in the recipe", Units: herb})
	add(rules.Light, Deed{Button: "Heat is on", Ask: "Record that the heat is on?", Caution: "Somebody stays with a lit bath."})
	add(rules.TurnDown, Deed{Button: "Turned down to a simmer", Ask: "Record that the heat was turned down?"})
	add(rules.TopUp, Deed{Button: "Topped up", Ask: "Record that water was added?", Need: MayHaveAmount, Label: "How much water, if measured", Units: water, Caution: "Never pour cold water into a dry hot pan: heat off, let it cool."})
	add(rules.Strain, Deed{Button: "Strained", Ask: "Record that the herb was strained off and the dish is out of the bath?", Caution: "Heat off first. Hot oil clings and burns: gloves."})
	add(rules.Recharge, Deed{Button: "Fresh herb is in the same oil", Ask: "Record fresh herb in the same oil, and begin the next maceration?", Need: MayHaveAmount, Label: "How much herb, if not as in the recipe", Units: herb})
	add(rules.Bottle, Deed{Button: "Bottled", Ask: "Record that the oil is in bottles?", Need: MayHaveAmount, Label: "How much oil", Units: oil})
	add(rules.Note, Deed{Button: "Write a note", Ask: "Put this note in the record?", Need: NeedsText, Label: "Note"})
	add(rules.Abandon, Deed{Button: "Give the batch up", Ask: "Record that this batch is given up? It ends here.", Grave: true, Caution: "Turn the heat off."})
	return deeds
}

// SplitDeeds returns the deeds that make sense now and the others.
func SplitDeeds(all []Deed) (now, more []Deed) {
	for _, d := range all {
		if d.Now {
			now = append(now, d)
		} else {
			more = append(more, d)
		}
	}
	return now, more
}

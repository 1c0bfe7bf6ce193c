package briefing

import (
	"fmt"

	"bainward/rules/batch/amount"
)

// Check is something to see to before the heat is on, and why.
type Check struct {
	Text string `json:"text"`
	Why  string `json:"why"`
}

// checks is what a maker goes through before lighting: common practice, no
// source, where no other is named.
func (w words) checks(m []Moment) []Check {
	herb := Check{"The herb is dry on the surface: wilted, no dew, nothing washed and wet.", "Drops of water spit out of hot oil, and water that stays spoils it."}
	if !w.p.Ask.Recipe.Fresh {
		herb = Check{"The dried herb crackles, and smells and looks as it should: no mould.", "Damp herb brings water and mould into the oil."}
	}
	stay := "Somebody stays from lighting to straining."
	if n := len(m); n > 0 && (m[n-1].Key == "end" || m[n-1].Key == "all") {
		stay = fmt.Sprintf("Somebody stays from lighting to straining, until about %s.", m[len(m)-1].Clock)
	}
	base := "The dish stands on its support, never on the floor of the pan."
	if mm := w.p.Ask.Rig.DishBaseHeight; mm > 0 {
		base = fmt.Sprintf("The dish stands on its support, its base %s above the floor of the pan.", amount.Length(w.u, mm))
	}
	return []Check{
		herb,
		{"Hands, knife, dish, cloth and glass are clean and dry.", "What gets into the oil stays in it: a water bath does not sterilise."},
		{base, "Heated directly, oil burns."},
		{"The probes are in place: one in the oil, one in the water.", "What is not measured calls nobody."},
		{"Water for the pan is weighed, and more stands ready, hot.", "Below the base the oil is heated no longer by water; then the pan runs dry."},
		{stay, "A lit bath is never left alone."},
		{"Dry oven gloves lie at hand.", "Hot oil clings and burns."},
		{"A lid that covers the pan lies at hand, to smother: lid on, heat off, leave it. No water.", "Water on burning oil throws it about."},
		{"The alarms are proven: a trial has reached a phone, or the sound of the open page was heard.", "A call that nobody hears is none."},
	}
}

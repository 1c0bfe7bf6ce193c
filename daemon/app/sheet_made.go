package app

import (
	"bainward/rules/batch/label"
	"bainward/rules/batch/ledger"
)

// madeOf is what a batch was made of.
type madeOf struct {
	herbs, oils, others []label.Part
	fresh               bool
}

// madeFrom adds up the materials of a batch by their names.
func madeFrom(a ledger.Account) madeOf {
	m := madeOf{fresh: a.Fresh()}
	for _, e := range a.Materials {
		into := &m.others
		switch e.Fact.What {
		case ledger.Herb:
			into = &m.herbs
		case ledger.Oil:
			into = &m.oils
		}
		*into = addPart(*into, label.Part{Name: e.Fact.Name, Kg: e.Fact.Kg().P50})
	}
	return m
}

func addPart(all []label.Part, p label.Part) []label.Part {
	for i := range all {
		if all[i].Name == p.Name {
			all[i].Kg += p.Kg
			return all
		}
	}
	return append(all, p)
}

// made is what the batch was made of; where nobody entered it, what its recipe
// asks for, which is enough for a title and for cautions.
func (w *sheetWriter) made() madeOf {
	m := madeFrom(w.account)
	if w.opening == nil {
		return m
	}
	r := w.opening.Recipe
	if len(m.herbs) == 0 && r.Herb != "" {
		m.herbs, m.fresh = []label.Part{{Name: r.Herb, Kg: r.HerbG / 1000}}, m.fresh || r.Fresh
	}
	if len(m.oils) == 0 && r.Oil != "" {
		m.oils = []label.Part{{Name: r.Oil}}
	}
	return m
}

func partNames(parts []label.Part) []string {
	var all []string
	for _, p := range parts {
		all = append(all, p.Name)
	}
	return all
}

// waterSeen is the worst that was seen of water in the bottles of a batch.
func waterSeen(facts []ledger.Entry) ledger.Seen {
	var seen ledger.Seen
	for _, f := range facts {
		b, ok := f.Fact.(ledger.Bottles)
		switch {
		case !ok:
		case b.Water == ledger.WaterIn:
			return ledger.WaterIn
		case b.Water != "":
			seen = b.Water
		}
	}
	return seen
}

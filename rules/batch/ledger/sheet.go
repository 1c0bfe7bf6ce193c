package ledger

import (
	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
)

// Kg returns the mass of what went in, as it was weighed, or as the volume of its
// oil weighs. It is unknown for the volume of anything else.
func (f Material) Kg() amount.Range {
	switch {
	case f.What == Oil:
		return f.Quantity.kg(larder.FindOil(f.Name), f.AtC, scaleKg)
	case f.Quantity.isVolume():
		return amount.Unknown
	}
	return f.Quantity.kg(larder.Oil{}, 0, scaleKg)
}

// Kg returns the mass that was weighed, within the doubt of its scale.
func (f Weighing) Kg() amount.Range {
	within := scaleKg
	if !f.Within.IsZero() {
		within = f.Within.kg(larder.Oil{}, 0, 0).P50
	}
	return f.Quantity.kg(larder.Oil{}, 0, within)
}

// Oil returns the oil of which there is most in the batch; the one that is not
// known if none was entered.
func (a Account) Oil() larder.Oil {
	best, most := larder.FindOil(""), 0.0
	for _, m := range a.Materials {
		if m.Fact.What != Oil {
			continue
		}
		if kg := m.Fact.Kg().P50; kg > most {
			best, most = larder.FindOil(m.Fact.Name), kg
		}
	}
	return best
}

// OilBest returns the earliest date of the batch's oils; the zero Day if none was
// given.
func (a Account) OilBest() Day {
	var best Day
	for _, m := range a.Materials {
		if d := m.Fact.BestBefore; m.Fact.What == Oil && !d.IsZero() && (best.IsZero() || d.Before(best)) {
			best = d
		}
	}
	return best
}

// Fresh reports whether some of the batch's herb was fresh.
func (a Account) Fresh() bool {
	for _, m := range a.Materials {
		if m.Fact.State == Fresh {
			return true
		}
	}
	return false
}

// Kg returns the mass of the oil that was filled into the bottle, if it is oil o.
func (o Bottle) Kg(oil larder.Oil) amount.Range {
	at := o.AtC
	if at == 0 {
		at = 20 // it was weighed, and its volume reckoned so
	}
	return oil.Kg(o.FilledMl, at)
}

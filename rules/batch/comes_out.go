package batch

import (
	"bainward/rules/batch/amount"
	"bainward/rules/batch/strength"
)

// ComesOut is what the batch yields.
type ComesOut struct {
	Strength strength.Result
	Kg       amount.Range
	Ml       amount.Range // at 20 °C
	// Why is the reason for which nothing can be said; "" if something can.
	Why string
}

// stays is the oil that a maceration leaves on dish, cloth and funnel and with
// the water that settles, as a share (own estimate, no source).
func stays() amount.Range { return amount.Between(0.01, 0.02, 0.05) }

// comesOut keeps the books of the macerations in advance: each with as much
// herb as the recipe says, the marcs as they usually are.
func (a Ask) comesOut(g Goods) ComesOut {
	c := ComesOut{Kg: amount.Unknown, Ml: amount.Unknown}
	if !(g.HerbKg > 0) || !g.OilKg.Known() {
		c.Why = "the herb's weight or the oil's volume is not known"
		return c
	}
	var passes []strength.Pass
	for i := range a.Recipe.Complete().Macerations {
		p := strength.Pass{HerbKg: g.HerbKg, Fresh: g.Fresh, Water: g.Water.Range, Marc: strength.Estimated(a.Given.Press, g.DryKg)}
		p.LostKg = amount.Times(stays(), g.OilKg.P50)
		if i == 0 {
			p.OilKg = g.OilKg.P50
		}
		passes = append(passes, p)
	}
	r, err := strength.Reckon(passes)
	if err != nil {
		c.Why = err.Error()
		return c
	}
	c.Strength, c.Kg = r, r.OutKg
	c.Ml = g.Oil.Ml(r.OutKg, referenceC)
	return c
}

package batch

import (
	"fmt"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// Say turns a finding of the plan into plain words: what is wrong and what to do.
// A clear one has nothing to say; one that was not evaluated says what it lacks.
func (p *Plan) Say(w Warning, u rules.Units) string {
	if w >= WarningCount {
		return ""
	}
	switch f := p.Findings[w]; f.Level {
	case rules.Raised:
		return p.sentence(w, f, u)
	case rules.NotEvaluated:
		return fmt.Sprintf("Not looked at (%s): not known is %s.", w, f.Lacks)
	}
	return ""
}

func (p *Plan) sentence(w Warning, f Finding, u rules.Units) string {
	ml := func(x float64) string { return amount.Volume(u, x/1000) }
	kg := func(x float64) string { return amount.Mass(u, x) }
	mm := func(x float64) string { return amount.Length(u, x) }
	switch w {
	case FillBelowBase:
		return fmt.Sprintf("%s of water may leave the base of the dish bare: it takes %s to wet it. Put in more before you light.", kg(f.A), kg(f.B))
	case PanOverflows:
		return fmt.Sprintf("The water would stand %s high in a pan that is %s deep, and boiling water heaves. Take a deeper pan or less water.", mm(f.A), mm(f.B))
	case DishFloats:
		return fmt.Sprintf("The water can lift %s and the filled dish weighs %s: it may float and tip. Put in less water.", kg(f.A), kg(f.B))
	case DishTooFull:
		return fmt.Sprintf("Hot, the dish would be %.0f %% full: the oil alone swells by %s, and wet herb bubbles. Take a larger dish or less of both.", 100*f.A, ml(f.B))
	case CeilingTooHigh:
		return fmt.Sprintf("The ceiling of %s is above the boiling point here, %s: no water bath makes oil so hot, so it would never warn of direct heat or a dry pan. Leave it out.", u.Temp(f.A), u.Temp(f.B))
	case FloorTooHigh:
		return fmt.Sprintf("The hold would count from %s, and water boils here at %s: oil settles some degrees below. Lower the floor.", u.Temp(f.A), u.Temp(f.B))
	case NeverWarm:
		return fmt.Sprintf("By reckoning the oil never comes to %s. Less oil, a thinner or wider dish, or a lower floor.", u.Temp(f.A))
	case OilTooLittle:
		return fmt.Sprintf("%s of oil will hardly cover the herb: that takes about %s. Chop finer and press it down, or take more oil or less herb.", ml(f.A), ml(f.B))
	case HerbTooWet:
		return fmt.Sprintf("%.0f %% of the herb is water. Let it wilt for a day in the shade and weigh it again: less water spits less and spoils less.", 100*f.A)
	case HerbWaterTooMuch:
		return fmt.Sprintf("The herb brings %s of water, and the hold drives off about %s. Let it wilt, take less, or hold longer; what stays must settle out.", kg(f.A), kg(f.B))
	case RingTooNarrow:
		return fmt.Sprintf("Only %s of open water beside the dish: you can hardly pour or look. Take a wider pan or a smaller dish.", mm(f.A))
	case WaterTooOften:
		return fmt.Sprintf("Water will be due every %s. A wider pan or a gentler simmer gives more time.", amount.Clock(f.A))
	}
	return p.sentenceOfGoods(w, f, u)
}

func (p *Plan) sentenceOfGoods(w Warning, f Finding, u rules.Units) string {
	ml := func(x float64) string { return amount.Volume(u, x/1000) }
	switch w {
	case MarcKeepsTooMuch:
		return fmt.Sprintf("The spent herb would keep %.0f %% of the oil. Take less herb, or press it gently and let the water settle longer.", 100*f.A)
	case OilMeasuredHot:
		return fmt.Sprintf("%s of oil measured warm are %s when cold. The plan goes by the cold oil; weigh it to be sure.", ml(f.A), ml(f.B))
	case HerbUnknown:
		return fmt.Sprintf("Nothing is known here about %q: its water is a guess, and so is what it may do. Weigh a sample, and ask before anybody uses it.", p.Goods.Herb.Written)
	case OilUnknown:
		return fmt.Sprintf("The oil %q is in no table here: its density is a guess. Weigh it.", p.Goods.Oil.Name)
	case SampleImpossible:
		return "The sample was not used: " + p.Goods.SampleBad + "."
	}
	return ""
}

package briefing

import (
	"fmt"

	"bainward/rules"
	"bainward/rules/batch"
)

// Warning is something that is wrong with the plan.
type Warning struct {
	Warning string `json:"warning"`
	Text    string `json:"text"`
}

// looks says what each warning looks at, as the end of "Not looked at: ".
func looks(w batch.Warning) string {
	switch w {
	case batch.FillBelowBase:
		return "whether the water covers the base of the dish"
	case batch.PanOverflows:
		return "whether the pan boils over"
	case batch.DishFloats:
		return "whether the dish floats"
	case batch.DishTooFull:
		return "whether the dish is too full"
	case batch.CeilingTooHigh:
		return "whether the ceiling makes sense"
	case batch.FloorTooHigh, batch.NeverWarm:
		return "whether the oil comes to its floor"
	case batch.OilTooLittle:
		return "whether the oil covers the herb"
	case batch.HerbWaterTooMuch:
		return "whether the hold drives off the herb's water"
	case batch.RingTooNarrow:
		return "whether there is room to pour beside the dish"
	case batch.WaterTooOften:
		return "whether water is due too often"
	case batch.MarcKeepsTooMuch:
		return "whether the spent herb keeps too much oil"
	}
	return w.String()
}

// key is the site file's name for what a warning lacks; "" where it is several.
func key(w batch.Warning, v batch.Vessels) string {
	switch {
	case w == batch.PanOverflows && v.PanDepth == 0:
		return "pan_depth_mm"
	case w == batch.DishFloats && v.DishKg == 0:
		return "dish_kg"
	case w == batch.DishTooFull && v.DishDepth == 0:
		return "dish_depth_mm"
	}
	return ""
}

// judged returns what is wrong with the plan, and sentences about what could
// not be looked at.
func (w words) judged() (wrong []Warning, unlooked []string) {
	r := w.p.Ask.Recipe
	for k := range batch.WarningCount {
		unnamed := k == batch.HerbUnknown && r.Herb == "" || k == batch.OilUnknown && r.Oil == ""
		switch f := w.p.Findings[k]; {
		case unnamed: // nothing is wrong with a name that was not given
		case f.Level == rules.Raised:
			wrong = append(wrong, Warning{k.String(), w.p.Say(k, w.u)})
		case f.Level == rules.NotEvaluated:
			where := ""
			if name := key(k, w.p.Ask.Vessels); name != "" {
				where = fmt.Sprintf(" (%s in the site file)", name)
			}
			unlooked = append(unlooked, fmt.Sprintf("Not looked at: %s. Not known is %s%s.", looks(k), f.Lacks, where))
		}
	}
	return wrong, unlooked
}

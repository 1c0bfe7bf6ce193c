package rules_test

import "bainward/rules"

// plainConfig is an ordinary bath at sea level.
func plainConfig() *rules.Config {
	return &rules.Config{
		Bath:   "north",
		Rig:    rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Recipe: rules.Recipe{Name: "ribwort-fresh", OilML: 800, HerbG: 220, Fresh: true}.Complete(),
		Limits: rules.DefaultLimits(),
	}
}

package label

import (
	"cmp"
	"slices"

	"bainward/rules/batch/larder"
)

// Part is something that is in the oil, with its mass.
type Part struct {
	Name string // as the recipe says it
	Kg   float64
}

// Ingredients returns the ingredient list: oils and additions by falling mass,
// then what the herbs gave, by falling mass of herb. What a herb leaves in the
// oil weighs little, so extracts stand last, as is usual for macerated oils
// ("Olea Europaea Fruit Oil, Calendula Officinalis Flower Extract").
//
// Names are made by rule from the tables of larder; the second result lists
// those that are in no table.
func Ingredients(oils, additions, herbs []Part) (list, unsure []string) {
	type entry struct {
		name string
		kg   float64
	}
	var base, extracts []entry
	for _, p := range oils {
		o := larder.FindOil(p.Name)
		if !o.Known {
			unsure = append(unsure, p.Name)
		}
		base = append(base, entry{o.INCI, p.Kg})
	}
	for _, p := range additions {
		base = append(base, entry{p.Name, p.Kg})
	}
	for _, p := range herbs {
		n := larder.ParseName(p.Name)
		if !n.Known {
			unsure = append(unsure, p.Name)
		}
		extracts = append(extracts, entry{n.Ingredient(), p.Kg})
	}
	for _, group := range [][]entry{base, extracts} {
		slices.SortStableFunc(group, func(a, b entry) int { return cmp.Compare(b.kg, a.kg) })
		for _, e := range group {
			if e.name != "" && !slices.Contains(list, e.name) {
				list = append(list, e.name)
			}
		}
	}
	return list, unsure
}

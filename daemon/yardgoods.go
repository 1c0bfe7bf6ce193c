package main

import (
	"fmt"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// goodsAt is what the storyteller enters of goods after an event at a bath: lots
// and weights that are invented and add up.
func goodsAt(bath, batch string, e rules.Event, began time.Time) []ledger.Fact {
	best := ledger.DayOf(began.AddDate(1, 2, 0))
	weighs := func(what ledger.Weighed, much string) ledger.Fact {
		return ledger.Weighing{Batch: batch, What: what, Quantity: invented(much)}
	}
	fills := ledger.Bottles{Batch: batch, Count: 7, Each: invented("100 ml"), AtC: 20, Place: ledger.Cool, Label: true, Water: ledger.NoWater}
	if bath == "north" {
		fills.Place = ledger.Fridge // where a probe hangs
	}
	switch {
	case e.Kind == rules.Charge && bath == "north":
		return []ledger.Fact{
			ledger.Material{Batch: batch, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: "bed 4, third cut", Quantity: invented("220 g"), State: ledger.Fresh},
			ledger.Material{Batch: batch, What: ledger.Oil, Name: "sunflower", Lot: "S-17", BestBefore: best, Quantity: invented("736 g")},
		}
	case e.Kind == rules.Charge:
		return []ledger.Fact{
			ledger.Material{Batch: batch, What: ledger.Herb, Name: "Calendula officinalis, flower", Lot: "C-9", Quantity: invented("90 g"), State: ledger.Dried},
			ledger.Material{Batch: batch, What: ledger.Oil, Name: "olive", Lot: "O-88", BestBefore: best, Quantity: invented("775 g")},
		}
	case e.Kind == rules.Strain && bath == "north":
		return []ledger.Fact{weighs(ledger.Marc, "112 g"), weighs(ledger.Water, "6 g"), weighs(ledger.OilOut, "662 g")}
	case e.Kind == rules.Strain:
		return []ledger.Fact{weighs(ledger.Marc, "205 g"), weighs(ledger.OilOut, "652 g")}
	case e.Kind == rules.Bottle && bath == "north":
		return []ledger.Fact{
			fills,
			ledger.Given{Batch: batch, Bottle: 1, All: true, To: "book 12"},
			ledger.Given{Batch: batch, Bottle: 2, Quantity: invented("60 ml"), Product: "salve-3", Name: "ribwort salve"},
		}
	case e.Kind == rules.Bottle:
		return []ledger.Fact{fills}
	}
	return nil
}

// invented reads an amount of the story, which is right or a mistake of ours.
func invented(s string) ledger.Amount {
	a, err := ledger.ParseAmount(s)
	if err != nil {
		panic(fmt.Sprintf("bainward: the story has an amount that is none: %v", err))
	}
	return a
}

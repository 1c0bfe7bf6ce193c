package dashboards

import (
	"io"
	"slices"
	"strings"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// ShelfPage is every bottle in which something is left: what wants something done
// today, and all of them by the place where they stand.
type ShelfPage struct {
	GoodsFrame
	Today  string
	Due    []DueGroup
	Stands []ShelfPlace
	Left   string // in all bottles
	Count  int    // of all bottles
}

// DueGroup is bottles of one batch that want the same done.
type DueGroup struct {
	BottleGroup
	Wants string
	// Throw: they are rancid or past their date. Otherwise somebody is to smell at
	// them.
	Throw bool
	Past  bool // past their date
}

// ShelfPlace is a place and what stands there, what is to be used first first.
type ShelfPlace struct {
	Name    string
	Bottles []BottleGroup
	Left    string
	Count   int
}

// ShelfPageOf puts the shelf into words.
func ShelfPageOf(u rules.Units, bottles []ledger.Bottle, due []ledger.Due, today ledger.Day) ShelfPage {
	p := ShelfPage{Today: today.String(), Count: len(bottles), Due: dueGroups(u, due, today)}
	left := 0.0
	for _, place := range []ledger.Place{ledger.Room, ledger.Cool, ledger.Fridge} {
		var here []ledger.Bottle
		ml := 0.0
		for _, o := range bottles {
			if o.Place == place {
				here = append(here, o)
				ml += o.LeftMl
			}
		}
		left += ml
		if len(here) == 0 {
			continue
		}
		slices.SortStableFunc(here, func(a, b ledger.Bottle) int { return a.UseBy.Time().Compare(b.UseBy.Time()) })
		words := placeWords(place)
		p.Stands = append(p.Stands, ShelfPlace{
			Name: strings.ToUpper(words[:1]) + words[1:], Bottles: groupBottles(u, here), Left: millilitres(u, ml), Count: len(here),
		})
	}
	p.Left = millilitres(u, left)
	return p
}

// dueGroups puts bottles together that want the same, in the order of urgency.
func dueGroups(u rules.Units, due []ledger.Due, today ledger.Day) []DueGroup {
	var all []DueGroup
	for i := 0; i < len(due); {
		j := i
		var same []ledger.Bottle
		for ; j < len(due) && due[j].Why == due[i].Why && due[j].Bottle.Batch == due[i].Bottle.Batch; j++ {
			same = append(same, due[j].Bottle)
		}
		past := due[i].Bottle.UseBy.Before(today)
		for _, g := range groupBottles(u, same) {
			all = append(all, DueGroup{BottleGroup: g, Wants: due[i].Why, Past: past, Throw: past || g.Rancid()})
		}
		i = j
	}
	return all
}

// RenderShelf writes the page of the shelf.
func (t *Pages) RenderShelf(w io.Writer, p ShelfPage) error { return t.execute(w, "shelf-page", p) }

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
	// See are the places that somebody should see to, each in a sentence.
	See   []string
	Left  string // in all bottles
	Count int    // of all bottles
	// Explains the mean kinetic temperature; empty where none is shown.
	Explains string
}

// DueGroup is bottles of one batch that want the same done.
type DueGroup struct {
	BottleGroup
	Wants string
	// Throw: they are rancid or past their date. Otherwise somebody is to smell at
	// them.
	Throw  bool
	Stands []string // in each of these places some of them do
}

// ShelfPlace is a place and what stands there, what is to be used first first.
type ShelfPlace struct {
	Name    string
	Now     string // how warm it was over the last day; empty: nobody measures it
	Bottles []BottleGroup
	Left    string
	Count   int
}

// ShelfPageOf puts the shelf into words, and what is measured of its places.
func ShelfPageOf(u rules.Units, bottles []ledger.Bottle, due []ledger.Due, places []ledger.PlaceNow, today ledger.Day) ShelfPage {
	p := ShelfPage{Today: today.String(), Count: len(bottles), Due: dueGroups(due, today)}
	now := map[ledger.Place]string{}
	for _, at := range places {
		now[at.Place] = at.Words(u)
		p.See = append(p.See, nonEmpty(upperFirst(at.Wants(u)))...)
		p.Explains = ledger.KineticWords
	}
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
		p.Stands = append(p.Stands, ShelfPlace{
			Name: upperFirst(placeWords(place)), Now: now[place], Bottles: groupBottles(u, here), Left: millilitres(u, ml), Count: len(here),
		})
	}
	p.Left = millilitres(u, left)
	return p
}

func upperFirst(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// dueGroups puts bottles together that want the same, in the order of urgency:
// who has three bottles in hand smells at all three, wherever they stood.
func dueGroups(due []ledger.Due, today ledger.Day) []DueGroup {
	var all []DueGroup
	for i := 0; i < len(due); {
		first := due[i].Bottle
		g := DueGroup{
			BottleGroup: BottleGroup{Batch: first.Batch}, Wants: due[i].Why,
			Throw: first.Status == ledger.RancidLeft || first.UseBy.Before(today),
		}
		for ; i < len(due) && due[i].Why == g.Wants && due[i].Bottle.Batch == g.Batch; i++ {
			g.Numbers = append(g.Numbers, due[i].Bottle.Number)
			if place := placeWords(due[i].Bottle.Place); !slices.Contains(g.Stands, place) {
				g.Stands = append(g.Stands, place)
			}
		}
		slices.Sort(g.Numbers)
		all = append(all, g)
	}
	return all
}

// RenderShelf writes the page of the shelf.
func (t *Pages) RenderShelf(w io.Writer, p ShelfPage) error { return t.execute(w, "shelf-page", p) }

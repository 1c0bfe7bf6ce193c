package dashboards

import (
	"fmt"
	"strconv"
	"strings"

	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
)

// GoodsFrame is what stands around every page of goods.
type GoodsFrame struct {
	Site     string
	Version  string
	Assets   string
	Demo     float64
	Units    rules.Units
	Places   []Place
	Standing []Standing
}

// Place is a page that the head of every page leads to.
type Place struct {
	Address string
	Label   string
	Count   int  // of what waits there; 0: nothing does
	Shown   bool // it is the page at hand
}

// Places lists the pages beside those of the baths. due is how many bottles want
// something done today; shown is the address of the page at hand.
func Places(plans, recipes, goods bool, due int, shown string) []Place {
	var all []Place
	if goods {
		all = append(all, Place{Address: "/batches", Label: "Batches"}, Place{Address: "/shelf", Label: "Shelf", Count: due})
	}
	if plans {
		all = append(all, Place{Address: "/plan", Label: "Plan"})
	}
	if recipes {
		all = append(all, Place{Address: "/recipes", Label: "Recipes"})
	}
	for i, p := range all {
		all[i].Shown = p.Address == shown
	}
	return all
}

// Standing is a bath on which alarms stand. A page of goods is no page of baths,
// but whoever looks at it must not miss a pan that runs dry.
type Standing struct {
	Bath   string
	Alarms string
	Grave  bool // the gravest wants somebody at once
}

// StandingOf lists the baths on which alarms stand.
func StandingOf(baths []fold.Snapshot) []Standing {
	var all []Standing
	for _, b := range baths {
		var names []string
		grave := false
		for _, a := range Alarms(b) {
			if a.Open {
				names = append(names, a.ID)
				grave = grave || a.Priority == "critical" || a.Priority == "high"
			}
		}
		if len(names) > 0 {
			all = append(all, Standing{Bath: b.Bath, Alarms: strings.Join(names, ", "), Grave: grave})
		}
	}
	return all
}

// BottleGroup is bottles of one batch that stand alike, so that sixty of them are
// one line.
type BottleGroup struct {
	Batch    string
	Numbers  []int
	Status   string
	Left     string // in each
	Filled   string // in each, if it is more than what is left
	Together string // left in all of them, if they are several
	Place    string
	UseBy    string
	Why      string
	Kept     string // how warm it was there, since they came; empty: nobody measured it
	Smell    string // from when somebody should smell at it; empty: it is no longer worth it
	Sooner   string // why that is sooner than usual; empty: it is not
	Labelled bool
	Notes    []string
	Went     []WentRow // what left each of them, and where to
}

// groupBottles puts bottles that stand alike together, in the order in which the
// first of each comes.
func groupBottles(u rules.Units, bottles []ledger.Bottle) []BottleGroup {
	type likeness struct {
		batch, useBy, why, smell, kept, sooner string
		status                                 ledger.Status
		place                                  ledger.Place
		left, filled                           float64
		label                                  bool
		went                                   string
	}
	var all []BottleGroup
	at := map[likeness]int{}
	for _, o := range bottles {
		went := giftRows(u, o)
		kept, sooner := keptWords(u, o)
		k := likeness{o.Batch, o.UseBy.String(), o.UseByWhy, o.CheckDue.String(), kept, sooner, o.Status, o.Place, o.LeftMl, o.FilledMl, o.Label, fmt.Sprint(went)}
		if i, ok := at[k]; ok {
			all[i].Numbers = append(all[i].Numbers, o.Number)
			all[i].Together = millilitres(u, float64(o.LeftMl*float64(len(all[i].Numbers))))
			continue
		}
		at[k] = len(all)
		g := BottleGroup{
			Batch: o.Batch, Numbers: []int{o.Number}, Status: statusWords(o.Status), Left: millilitres(u, o.LeftMl),
			Place: placeWords(o.Place), UseBy: k.useBy, Why: MachineWords(u, o.UseByWhy), Smell: k.smell, Kept: kept, Sooner: sooner, Labelled: o.Label, Went: went,
		}
		if o.LeftMl < o.FilledMl {
			g.Filled = millilitres(u, o.FilledMl)
		}
		for _, n := range o.Notes() {
			g.Notes = append(g.Notes, MachineWords(u, n))
		}
		all = append(all, g)
	}
	return all
}

// keptWords says how warm a bottle stood since it came to its place, and why it is to
// be smelled at sooner; empty is what there is nothing to say of.
func keptWords(u rules.Units, o ledger.Bottle) (kept, sooner string) {
	if k := o.Kept(); k != nil && o.Status != ledger.Empty {
		kept = k.Words(u)
	}
	return kept, o.SoonerWords()
}

// giftRows lists what left a bottle, without when and by whom: so many bottles that
// went the same way are alike.
func giftRows(u rules.Units, o ledger.Bottle) []WentRow {
	var rows []WentRow
	for _, g := range o.Given {
		rows = append(rows, WentRow{Much: millilitres(u, g.Ml), To: g.To, Product: g.Product, Name: g.Name, Thrown: g.Thrown})
	}
	return rows
}

// Bottles says which bottles they are: "bottle 3", "bottles 1–6, 9".
func (g BottleGroup) Bottles() string {
	if len(g.Numbers) == 1 {
		return "bottle " + strconv.Itoa(g.Numbers[0])
	}
	return "bottles " + runs(g.Numbers)
}

// Empty reports whether nothing is left in them.
func (g BottleGroup) Empty() bool { return g.Status == statusWords(ledger.Empty) }

// Rancid reports whether they were found rancid and stand there still.
func (g BottleGroup) Rancid() bool { return g.Status == statusWords(ledger.RancidLeft) }

// First is the number of the first.
func (g BottleGroup) First() int { return g.Numbers[0] }

// Many reports whether there are several.
func (g BottleGroup) Many() bool { return len(g.Numbers) > 1 }

// runs writes rising numbers as people count: "1–6, 9".
func runs(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		part := strconv.Itoa(numbers[i])
		if j > i {
			part += "–" + strconv.Itoa(numbers[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

func statusWords(s ledger.Status) string {
	if s == ledger.Begun {
		return "some went"
	}
	return string(s)
}

func placeWords(p ledger.Place) string {
	s, ok := p.Storage()
	if !ok {
		return string(p)
	}
	return s.String()
}

// verdictWords says a verdict in a few words.
func verdictWords(verdict string) string {
	switch verdict {
	case rules.Held.String():
		return "held"
	case rules.Short.String():
		return "too short"
	case rules.Spoiled.String():
		return "spoiled"
	case rules.Open.String():
		return "not finished"
	}
	return verdict
}

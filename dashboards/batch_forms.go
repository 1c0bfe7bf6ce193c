package dashboards

import (
	"fmt"
	"math"
	"strings"

	"bainward/rules"
	jug "bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// BatchForms is what the forms of a batch offer, so that little is left to type.
type BatchForms struct {
	Address string // of the batch in the JSON interface
	US      bool
	Herb    HerbForm
	Oil     OilForm
	Other   Measure
	Others  []KnownLot
	Weigh   Measure
	Within  Measure
	Each    Measure
	At      Measure // temperature of the oil that is bottled
	Place   string
	Places  []Choice
	Passes  []int // to choose from; none: there is one
	Pass    int   // the one that is going on
	Bottles []Choice
	Numbers []int
	Despite bool // a bottle is rancid or past its date: handing it out wants a reason
	Pour    Measure
	Taken   []KnownLot // products there are
	Goes    []ProductRow
}

// Measure is a number that is asked for, and its unit.
type Measure struct {
	Name     string
	Label    string
	Value    string
	Units    []string
	Unit     string // the one that is set
	Optional bool
	Hint     string
}

// Choice is one of a list.
type Choice struct {
	Value string
	Label string
	Set   bool
}

// KnownLot is a lot that was used before, with what was said of it then.
type KnownLot struct {
	Lot, Name, Best, State string
}

// HerbForm and OilForm hold what the recipe asks for.
type (
	HerbForm struct {
		Name  string
		Fresh bool
		Much  Measure
		Lots  []KnownLot
	}
	OilForm struct {
		Name string
		Much Measure
		At   Measure
		Lots []KnownLot
	}
)

// FormsData is what the forms are filled in from.
type FormsData struct {
	Address string
	Account ledger.Account
	Known   []ledger.Material // used before, the newest first
	Bath    *fold.Snapshot    // that makes the batch, or goes by its recipe; nil: none does
	Today   ledger.Day
	Into    ledger.Recall
}

// BatchFormsOf fills the forms of a batch in.
func BatchFormsOf(u rules.Units, d FormsData) BatchForms {
	us := u == rules.US
	mass, liquid := []string{"g", "kg"}, []string{"ml", "l", "g", "kg"}
	if us {
		mass, liquid = []string{"oz", "lb"}, []string{"floz", "oz", "lb"}
	}
	measure := func(name, label string, units []string) Measure {
		return Measure{Name: name, Label: label, Units: units, Unit: units[0]}
	}
	f := BatchForms{
		Address: d.Address, US: us, Places: placeChoices(), Goes: productRows(d.Into),
		Other: measure("quantity", "How much", liquid), Weigh: measure("quantity", "It weighs", mass), Within: measure("within", "The scale is good to", mass[:1]),
		Each: measure("each", "In each", liquid), Pour: measure("quantity", "How much", liquid),
	}
	f.Within.Optional, f.Within.Hint = true, "left empty: 2 g"
	if us {
		f.Within.Hint = "left empty: 0.07 oz" // 2 g, as the books take it
	}
	f.At = temperature(u, "at_c", d.Bath)
	f.fillMaterials(u, d, mass, liquid)
	f.fillPasses(d)
	f.fillBottles(u, d)
	return f
}

// temperature asks for a temperature; the room's is what is likely.
func temperature(u rules.Units, name string, bath *fold.Snapshot) Measure {
	c := 20.0
	if bath != nil && !math.IsNaN(bath.Celsius[sensors.Room]) && bath.Celsius[sensors.Room] > 0 {
		c = bath.Celsius[sensors.Room]
	}
	m := Measure{Name: name, Label: "Temperature of the oil, °C", Unit: "C", Value: fmt.Sprintf("%.0f", c)}
	if u == rules.US {
		m.Label, m.Unit, m.Value = "Temperature of the oil, °F", "F", fmt.Sprintf("%.0f", toFahrenheit(c))
	}
	return m
}

func (f *BatchForms) fillMaterials(u rules.Units, d FormsData, mass, liquid []string) {
	f.Herb = HerbForm{Fresh: true, Much: Measure{Name: "quantity", Label: "It weighs", Units: mass, Unit: mass[0]}}
	f.Oil = OilForm{Much: Measure{Name: "quantity", Label: "How much", Units: liquid, Unit: liquid[0]}, At: temperature(u, "at_c", d.Bath)}
	f.offer(d.Known)
	entered := map[ledger.What]bool{}
	for _, m := range d.Account.Materials {
		entered[m.Fact.What] = true
	}
	if d.Bath == nil {
		return
	}
	r := d.Bath.Recipe
	f.Herb.Name, f.Herb.Fresh, f.Oil.Name = r.Herb, r.Fresh || r.Herb == "", r.Oil
	if !entered[ledger.Herb] && r.HerbG > 0 {
		f.Herb.Much.Value = massIn(u, r.HerbG)
	}
	if !entered[ledger.Oil] && r.OilML > 0 {
		f.Oil.Much.Value = volumeIn(u, r.OilML)
	}
}

// offer lists every lot once, as it was entered last.
func (f *BatchForms) offer(known []ledger.Material) {
	type named struct {
		what      ledger.What
		lot, name string
	}
	seen := map[named]bool{}
	for _, m := range known {
		lot := KnownLot{Lot: m.Lot, Name: m.Name, Best: m.BestBefore.String(), State: string(m.State)}
		if seen[named{m.What, m.Lot, m.Name}] {
			continue
		}
		seen[named{m.What, m.Lot, m.Name}] = true
		switch m.What {
		case ledger.Herb:
			f.Herb.Lots = append(f.Herb.Lots, lot)
		case ledger.Oil:
			f.Oil.Lots = append(f.Oil.Lots, lot)
		default:
			f.Others = append(f.Others, lot)
		}
	}
}

func massIn(u rules.Units, g float64) string {
	if u == rules.US {
		return trimmed(g/1000/jug.KgPerOunce, 1)
	}
	return trimmed(g, 0)
}

func volumeIn(u rules.Units, ml float64) string {
	if u == rules.US {
		return trimmed(ml/jug.MlPerFlOz, 1)
	}
	return trimmed(ml, 0)
}

// fillPasses offers macerations where there are several.
func (f *BatchForms) fillPasses(d FormsData) {
	f.Pass = 1
	for _, m := range d.Account.Materials {
		f.Pass = max(f.Pass, m.Fact.Pass)
	}
	for _, w := range d.Account.Weighings {
		f.Pass = max(f.Pass, w.Fact.Pass)
	}
	most := f.Pass
	if b := d.Bath; b != nil {
		if b.Batch == d.Account.Batch {
			f.Pass = max(f.Pass, b.Pass)
		}
		most = max(most, b.Recipe.Macerations, f.Pass)
	}
	for n := 1; most > 1 && n <= most; n++ {
		f.Passes = append(f.Passes, n)
	}
}

func (f *BatchForms) fillBottles(u rules.Units, d FormsData) {
	f.Place = string(ledger.Cool)
	for _, o := range d.Account.Bottles {
		if o.LeftMl <= 0 {
			continue
		}
		label := fmt.Sprintf("%d: %s left", o.Number, millilitres(u, o.LeftMl))
		if o.Status == ledger.RancidLeft {
			label += ", rancid"
		}
		f.Bottles = append(f.Bottles, Choice{Value: fmt.Sprint(o.Number), Label: label})
		f.Numbers = append(f.Numbers, o.Number)
		f.Despite = f.Despite || o.Status == ledger.RancidLeft || o.UseBy.Before(d.Today)
		f.Place = string(o.Place)
	}
	for i, p := range f.Places {
		f.Places[i].Set = p.Value == f.Place
	}
	for _, p := range d.Into.Products {
		f.Taken = append(f.Taken, KnownLot{Lot: p.Number, Name: p.Name})
	}
}

func placeChoices() []Choice {
	var all []Choice
	for _, p := range []ledger.Place{ledger.Room, ledger.Cool, ledger.Fridge} {
		words := placeWords(p)
		all = append(all, Choice{Value: string(p), Label: strings.ToUpper(words[:1]) + words[1:]})
	}
	return all
}

// Free is the measure where nothing need be given.
func (m Measure) Free() Measure {
	m.Optional = true
	return m
}

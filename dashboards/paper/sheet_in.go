package paper

import (
	"fmt"
	"strings"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// whatWentIn draws recipe, materials, equipment and the checks before the
// start.
func (f *flow) whatWentIn() {
	f.pair(f.recipe(), f.rig())
	f.place(f.materials())
	f.pair(f.checks(), f.probes())
}

func (f *flow) recipe() part {
	s, width := f.sheet, f.half()
	r := s.Recipe
	state := "dried"
	if r.Fresh {
		state = "fresh"
	}
	herb, oil := orNot(r.Herb), orNot(r.Oil)
	if r.Herb != "" {
		herb += ", " + state
	}
	if known(r.HerbG) {
		herb = mass(s.Units, r.HerbG/1000) + ", " + herb
	}
	if known(r.OilML) {
		oil = volume(s.Units, r.OilML/1000) + ", " + oil
	}
	c := r.Complete()
	return part{title: "Recipe", width: width, rows: f.facts(width, 24, []fact{
		{"name", plainCell(r.Name)},
		{"herb", cell{herb, bodyStyle}},
		{"oil", cell{oil, bodyStyle}},
		{"hold", cell{fmt.Sprintf("%s at or above the floor, %s", rules.Minutes(c.Hold), times(c.Macerations)), bodyStyle}},
		{"floor", cell{floor(s.Units, c), bodyStyle}},
		{"not above", cell{ceiling(s.Units, c), bodyStyle}},
	})}
}

func floor(u rules.Units, r rules.Recipe) string {
	if r.FloorC != 0 {
		return temperature(u, r.FloorC)
	}
	if !known(r.FloorBelowBoiling) {
		return notKnown
	}
	return u.TempDiff(r.FloorBelowBoiling) + " below the boiling point of the moment"
}

func ceiling(u rules.Units, r rules.Recipe) string {
	if r.CeilingC != 0 {
		return temperature(u, r.CeilingC)
	}
	return "the boiling point and the probe's uncertainty"
}

func (f *flow) materials() part {
	s := f.sheet
	var rows [][]cell
	for _, m := range s.Materials {
		rows = append(rows, []cell{strong(m.Name), plainCell(m.Lot), plainCell(mass(s.Units, m.Kg)), plainCell(volume(s.Units, m.Litres)), plainCell(m.Released)})
	}
	columns := []tableColumn{{"material", 37}, {"lot", 18}, {"weighed", 11}, {"as a volume", 12}, {"released", 34}}
	return f.table("Materials weighed in", f.width(), columns, rows, notEntered)
}

func (f *flow) rig() part {
	s, width := f.sheet, f.half()
	facts := []fact{
		{"pan, inside", length(s.Units, s.Rig.PanInsideDiameter, "")},
		{"dish, outside", length(s.Units, s.Rig.DishOutsideDiameter, "")},
		{"base of the dish", length(s.Units, s.Rig.DishBaseHeight, " above the pan floor")},
	}
	if known(s.Rig.WetsBaseG) {
		facts = append(facts, fact{"wets the base", cell{amount.Mass(s.Units, s.Rig.WetsBaseG/1000) + " of cold water, weighed", bodyStyle}})
	}
	return part{title: "Equipment", width: width, rows: f.facts(width, 24, append(facts, fact{"other", plainCell(strings.Join(s.Equipment, "; "))}))}
}

func (f *flow) probes() part {
	s, width := f.sheet, f.half()
	var rows [][]cell
	for _, p := range s.Probes {
		calibrated, doubt := "never", notKnown
		if !p.Calibrated.IsZero() {
			calibrated = day(p.Calibrated)
		}
		if known(p.ExpandedC) {
			doubt = uncertainty(s.Units, p.ExpandedC)
		}
		rows = append(rows, []cell{strong(p.Role), exactCell(p.Address), {calibrated, bodyStyle}, {doubt, bodyStyle}})
	}
	columns := []tableColumn{{"probe", 10}, {"address", 30}, {"calibrated", 20}, {"expanded uncertainty (k = 2)", 20}}
	return f.table("Probes", width, columns, rows, notEntered)
}

// checks lists what was looked at before the start; what nobody confirmed keeps
// an open box.
func (f *flow) checks() part {
	s, width := f.sheet, f.half()
	list := s.Checks
	if len(list) == 0 {
		list = StartChecks()
	}
	const box = 4.5
	var rows []row
	for _, c := range list {
		said := cell{notEntered, nameStyle}
		if c.Done {
			said = cell{strings.TrimSpace(c.By + " " + s.clock(c.At)), bodyStyle}
		}
		for i, r := range f.cells([]float64{width*0.56 - box - cellGap, width * 0.44}, []cell{{c.What, bodyStyle}, said}) {
			rows = append(rows, row{r.height, func(x, y float64) {
				if i == 0 {
					f.tick(x+0.2, y+0.4, c.Done)
				}
				r.draw(x+box, y)
			}})
		}
	}
	return part{title: "Checks before the start", width: width, rows: rows}
}

// tick draws a box, ticked or open.
func (f *flow) tick(x, y float64, done bool) {
	const side = 2.4
	f.frame(x, y, side, side, 0.2, ink)
	if done {
		f.rule(x+0.5, y+1.3, x+1.0, y+1.9, 0.35, ink)
		f.rule(x+1.0, y+1.9, x+2.0, y+0.5, 0.35, ink)
	}
}

package app

import (
	"fmt"
	"math"
	"strings"
	"time"

	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/guide"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// wentIn fills in recipe, rig and probes as they were configured when the batch
// was opened, the materials, and what was seen to before the start.
func (w *sheetWriter) wentIn() {
	if c := w.opening; c != nil {
		w.out.Recipe, w.out.Rig = c.Recipe, c.Rig
		w.out.Probes = probesOf(c)
		w.out.Equipment = append(w.out.Equipment, w.watch.air.words(c))
	}
	for _, m := range w.account.Materials {
		w.out.Materials = append(w.out.Materials, materialRow(m))
	}
	w.out.Checks = w.checkRows()
}

func probesOf(c *rules.Config) []paper.Probe {
	var all []paper.Probe
	for role, p := range c.Probes {
		if !p.Fitted {
			continue
		}
		row := paper.Probe{Role: sensors.Role(role).String(), Address: p.Address, ExpandedC: math.NaN()}
		if on, err := time.Parse(time.DateOnly, p.On); err == nil {
			row.Calibrated = on
		}
		if p.Uncertainty > 0 {
			row.ExpandedC = p.Uncertainty
		}
		all = append(all, row)
	}
	return all
}

// words says the air pressure by which the floor and the ceiling were reckoned.
func (a *airSeen) words(c *rules.Config) string {
	if a.readings == 0 {
		return "air pressure: not read, the bath was never lit"
	}
	how := "by barometer"
	switch {
	case a.reckoned && a.measured:
		how = "by barometer, partly by the height of the site"
	case a.reckoned:
		how = fmt.Sprintf("by the height of the site, %g m", c.Elevation)
	}
	return fmt.Sprintf("air pressure %s %s: water boiled at %s", hectopascals(a.low, a.high), how, span(c.Units.Temp, a.coldest, a.warmest))
}

func hectopascals(low, high int32) string {
	hPa := func(pa float64) string { return fmt.Sprintf("%.0f hPa", pa/100) }
	return span(hPa, float64(low), float64(high))
}

// span writes two ends, or one where they read the same.
func span(say func(float64) string, low, high float64) string {
	if say(low) == say(high) {
		return say(low)
	}
	return say(low) + " to " + say(high)
}

func materialRow(m ledger.Entered[ledger.Material]) paper.Material {
	f := m.Fact
	row := paper.Material{Name: f.Name, Lot: f.Lot, Kg: f.Kg().P50, Released: "entered by " + m.Who}
	switch f.What {
	case ledger.Herb:
		row.Name += ", " + string(f.State)
	case ledger.Oil:
		row.Name += " oil"
		if strings.HasSuffix(strings.ToLower(f.Name), "oil") {
			row.Name = f.Name
		}
		row.Litres = row.Kg / larder.FindOil(f.Name).Density(referenceC).P50 * 1000
	}
	if f.Pass > 1 {
		row.Name += fmt.Sprintf(", maceration %d", f.Pass)
	}
	if !f.BestBefore.IsZero() {
		row.Released += ", best before " + f.BestBefore.String()
	}
	return row
}

// referenceC is the temperature at which the volumes of a sheet hold, as on its
// labels (Directive 76/211/EEC, annex I, from memory).
const referenceC = 20

// checkRows tells what was seen to before the start, and what was not. Without a
// checklist the sheet shows those of ISO 22716:2007, 7.2.2, open.
func (w *sheetWriter) checkRows() []paper.Check {
	if !w.checked {
		return paper.StartChecks()
	}
	var rows []paper.Check
	for _, i := range w.checks.Items {
		row := paper.Check{What: w.checkWords(i.Key), Done: i.Done, By: w.checks.By, At: w.where.wall(w.checks.Seq, w.checks.Wall)}
		if i.Known != "" {
			row.By = i.Known
		}
		rows = append(rows, row)
	}
	return rows
}

// checkWords says what an item of the checklist is; one that this version does not
// know stands by its key.
func (w *sheetWriter) checkWords(key string) string {
	if item, ok := guide.ItemOf(key, w.made().fresh); ok {
		return item.Text
	}
	return strings.ReplaceAll(key, "-", " ")
}

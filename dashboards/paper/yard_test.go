package paper_test

import (
	"math"
	"time"

	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/cautions"
)

// yard is an invented batch of the invented Alder Yard, with something in every
// place of the sheet.
func yard() paper.BatchSheet {
	zone := time.FixedZone("", 3600)
	at := func(hour, minute int) time.Time { return time.Date(2026, 3, 1, hour, minute, 0, 0, zone) }
	return paper.BatchSheet{
		Number: "2026-03-01-north-1", Product: "Ribwort oil, twice macerated", Site: "Alder Yard", Bath: "north",
		Made: at(9, 0), AsOf: at(17, 45), Program: "v0.3.1",
		Verdict: "short", OilMaxC: 95.1,
		Recipe: rules.Recipe{Name: "ribwort-fresh", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: 220, Oil: "sunflower", OilML: 800, Hold: 2 * time.Hour, Macerations: 2},
		Materials: []paper.Material{
			{Name: "Plantago lanceolata, leaf, fresh", Lot: "bed 4, cut 2026-03-01", Kg: 0.220, Released: "Robin, looked over"},
			{Name: "Sunflower oil", Lot: "SF-2291", Kg: 0.736, Litres: 0.8, Released: "Sorrel, certificate 114"},
			{Name: "Plantago lanceolata, leaf, fresh, second charge", Lot: "bed 5, cut 2026-03-01", Kg: 0.198, Released: "Robin, looked over"},
		},
		Rig:       rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30, WetsBaseG: 712},
		Equipment: []string{"glass dish 2", "scale K1, checked 2026-02-20"},
		Probes: []paper.Probe{
			{Role: "oil", Address: "28-00000bbb9b13", Calibrated: time.Date(2026, 2, 14, 0, 0, 0, 0, zone), ExpandedC: 0.31},
			{Role: "bath", Address: "28-000005fba71c", Calibrated: time.Date(2026, 2, 14, 0, 0, 0, 0, zone), ExpandedC: 0.28},
			{Role: "room", Address: "28-0000071f2a33"},
		},
		Checks: []paper.Check{
			{What: "recipe and sheet at hand", Done: true, By: "Robin", At: at(8, 41)},
			{What: "materials at hand and released", Done: true, By: "Robin", At: at(8, 44)},
			{What: "equipment works and is clean", Done: true, By: "Robin", At: at(8, 47)},
			{What: "the place is cleared of other work"},
		},
		Times: paper.Times{Fill: at(9, 0), Lit: at(9, 2), Floor: at(9, 41), Strain: at(14, 2), Bottle: at(17, 30)},
		Macerations: []paper.Maceration{
			{From: at(9, 2), To: at(11, 50), Herb: "220 g, leaf, fresh", HoldAsked: 2 * time.Hour, HoldDone: 2*time.Hour + 4*time.Minute, OilMaxC: 95.1, Verdict: "held"},
			{From: at(11, 58), To: at(14, 2), Herb: "198 g, leaf, fresh", HoldAsked: 2 * time.Hour, HoldDone: 96 * time.Minute, OilMaxC: 93.4, Verdict: "short"},
		},
		Controls: []paper.Control{
			{What: "hottest oil", Limit: "not above the boiling point", Found: "95.1 °C", Met: true},
			{What: "hold of the second maceration", Limit: "2 h 00 min", Found: "1 h 36 min"},
			{What: "water left in the oil, sample of 20 ml", Limit: "clear, nothing at the bottom", Found: "clear after 3 h", Met: true},
		},
		Trace: simmer(),
		Alarms: []paper.Alarm{
			{Raised: at(9, 58), Name: "top-up-due", Priority: "medium", Acknowledged: at(10, 1), By: "Robin"},
			{Raised: at(10, 29), Name: "top-up-due", Priority: "medium", Acknowledged: at(10, 31), By: "Sorrel"},
			{Raised: at(12, 40), Name: "off-the-simmer", Priority: "low"},
		},
		Deviations: []paper.Deviation{
			{At: at(14, 2), What: "second hold 24 min short", Explanation: "The gas ran out and the spare bottle was empty. The first hold was full, so the oil was kept and is labelled by what was done.", By: "Robin"},
			{At: at(12, 40), What: "bath off the simmer for 11 min", By: "Sorrel"},
		},
		Strength: []string{
			"Behind 1 kg of this oil stand 0.12 kg of dry herb: 1 part in 8.3.",
			"DER: 1 part of dry herb to 9.4 parts of oil obtained.",
		},
		Yield: 0.86,
		Balance: []paper.Share{
			{What: "oil", Kg: 0.736}, {What: "oil in bottles", Kg: 0.633, Out: true},
			{What: "oil in the marc, weighed", Kg: 0.081, Out: true}, {What: "samples", Kg: 0.018, Out: true},
		},
		Bottles: []paper.Bottles{
			{Count: 6, Litres: 0.1, Kg: 0.0917, Place: "cellar, shelf 2", UseBy: time.Date(2027, 9, 30, 0, 0, 0, 0, time.UTC)},
			{Count: 1, Litres: 0.09, Kg: 0.083, Place: "kept sample, fridge", UseBy: time.Date(2027, 9, 30, 0, 0, 0, 0, time.UTC)},
		},
		Cautions: cautions.For(cautions.Preparation{Herbs: []string{"Plantago lanceolata, leaf"}, Oils: []string{"sunflower"}, Fresh: true, GivenAway: true}),
		Deeds: []paper.Deed{
			{At: at(8, 47), What: "cleaned pan and dish", Who: "Robin"},
			{At: at(9, 0), What: "fill 1.45 kg", Who: "Robin"},
			{At: at(9, 1), What: "charge", Who: "Robin"},
			{At: at(9, 2), What: "light", Who: "Robin"},
			{At: at(9, 30), What: "turn-down", Who: "Robin"},
			{At: at(10, 1), What: "top-up 0.5 kg", Who: "Robin"},
			{At: at(10, 33), What: "top-up 0.45 kg", Who: "Sorrel"},
			{At: at(11, 58), What: "recharge 198 g", Who: "Sorrel"},
			{At: at(14, 2), What: "strain", Who: "Robin"},
			{At: at(17, 10), What: "took a sample of 20 ml", Who: "Robin"},
			{At: at(17, 30), What: "bottle 0.69 l, moved to the cellar", Who: "Robin"},
		},
		Record: paper.Record{File: "record-2026.db", Entries: 41873, Checkpoint: "alder-yard.invalid/record\n41873\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n\n— alder-yard.invalid/record Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URYN7u5/Zhcyv2q1gGzGku9nTo+zyWE+xeMcTOAYQ8="},
		MadeBy: paper.Signature{Name: "Robin", At: at(17, 45)},
	}
}

// simmer is an invented trace: two macerations, a reading every ten seconds and
// a minute in which the oil probe was silent.
func simmer() paper.Trace {
	t := paper.Trace{From: 0, To: 5 * time.Hour, Zero: 2 * time.Minute}
	for at := t.From; at <= t.To; at += 10 * time.Second {
		m := at.Minutes()
		p := paper.Point{At: at, BoilingC: 99.6, FloorC: 84.6}
		p.BathC = 99.4 - float64(85*math.Exp(-max(0, m-2)/9)) + float64(0.3*math.Sin(m*2))
		p.OilC = 94.5 - float64(76*math.Exp(-max(0, m-2)/18))
		if m > 176 && m < 190 {
			p.OilC -= 20
		}
		if m > 100 && m < 101 {
			p.OilC = math.NaN()
		}
		t.Points = append(t.Points, p)
	}
	t.Holds = []paper.Span{{From: 41 * time.Minute, To: 165 * time.Minute}, {From: 195 * time.Minute, To: 291 * time.Minute}}
	for _, m := range []struct {
		minute int
		alarm  bool
		text   string
	}{
		{0, false, "fill 1.45 kg; charge"}, {2, false, "light"}, {30, false, "turn-down"}, {58, true, "top-up-due"}, {61, false, "top-up 0.5 kg"},
		{89, true, "top-up-due"}, {93, false, "top-up 0.45 kg"}, {178, false, "recharge 198 g"}, {220, true, "off-the-simmer"}, {300, false, "strain"},
	} {
		t.Marks = append(t.Marks, paper.Mark{At: time.Duration(m.minute) * time.Minute, Alarm: m.alarm, Text: m.text})
	}
	return t
}

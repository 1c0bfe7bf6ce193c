package main

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// TestBatchScripts runs the commands that look back at what was made, over a
// record of two batches in the folder kept.
func TestBatchScripts(t *testing.T) {
	const dir = "testdata/script/batch"
	if files, err := filepath.Glob(filepath.Join(dir, "*.txtar")); err != nil || len(files) == 0 {
		t.Fatalf("no scripts in %s (%v)", dir, err)
	}
	testscript.Run(t, testscript.Params{
		Dir: dir, RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error { return keepTwoBatches(filepath.Join(e.WorkDir, "kept")) },
	})
}

const pastSite = `
[site]
name = "Alder Yard"
elevation_m = 120
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
[[recipe]]
name = "ribwort"
herb = "Plantago lanceolata, leaf"
fresh = true
herb_g = 220
oil = "sunflower"
oil_ml = 800
hold_min = 30
macerations = 2
`

// past writes a record by hand, as a daemon would have written it.
type past struct {
	at      time.Duration
	number  string
	entries []record.Entry
	err     error
}

// nine is when the past begins.
func nine() time.Time { return time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC) }

func (p *past) add(bath string, b record.Body) {
	e, err := record.Of(p.at, nine().Add(p.at), bath, b)
	if err != nil && p.err == nil {
		p.err = err
	}
	p.entries = append(p.entries, e)
}

func (p *past) did(text string) {
	e, err := rules.ParseEvent(text)
	if err != nil && p.err == nil {
		p.err = err
	}
	p.add("north", record.EventOf(e, "Robin", p.number))
}

func (p *past) entered(f ledger.Fact) {
	b, err := record.GoodsOf(f, "Sorrel")
	if err != nil {
		p.err = err
		return
	}
	p.add("north", b)
}

// reads lets so much time go by with both probes at a temperature.
func (p *past) reads(d time.Duration, oil, bath float64) {
	for end := p.at + d; p.at < end; p.at += 10 * time.Second {
		f := sensors.Frame{At: p.at, Wall: nine().Add(p.at), Pressure: sensors.Pressure{Fault: sensors.NotFitted}}
		f.Probes[sensors.Oil], f.Probes[sensors.Bath] = sensors.AtCelsius(oil), sensors.AtCelsius(bath)
		f.Probes[sensors.Room] = sensors.Reading{Fault: sensors.NotFitted}
		p.entries = append(p.entries, record.OfFrame("north", record.Rounded(f)))
	}
}

// keepTwoBatches writes a record of two batches: one of two macerations, the
// second cut short, in five bottles; one that is still being made.
func keepTwoBatches(dir string) (err error) {
	ctx := context.Background()
	s, err := site.Parse("past.toml", []byte(pastSite))
	if err != nil {
		return err
	}
	cfg, err := s.Config("north", "")
	if err != nil {
		return err
	}
	rec, err := record.Open(ctx, record.Options{Dir: dir})
	if err != nil {
		return err
	}
	defer func() {
		if e := rec.Close(); err == nil {
			err = e
		}
	}()
	p := &past{}
	p.add("north", record.Config{Config: cfg})
	p.first()
	p.at += 24 * time.Hour
	p.number = "2026-03-02-north-1"
	p.add("north", record.Batch{State: record.Opened, Number: p.number, Recipe: "ribwort"})
	p.did("fill 1.8 kg")
	if p.err != nil {
		return p.err
	}
	_, err = rec.Append(ctx, p.entries)
	return err
}

func (p *past) first() {
	p.number = "2026-03-01-north-1"
	many := func(text string) ledger.Amount {
		a, err := ledger.ParseAmount(text)
		if err != nil {
			p.err = err
		}
		return a
	}
	herb := ledger.Material{Batch: p.number, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: "hedge 1/3", Quantity: many("220 g"), State: ledger.Fresh}
	again := herb
	again.Lot, again.Quantity, again.Pass = "hedge 2/3", many("200 g"), 2
	best := ledger.DayOf(time.Date(2027, 5, 31, 0, 0, 0, 0, time.UTC))
	p.add("north", record.Batch{State: record.Opened, Number: p.number, Recipe: "ribwort"})
	p.did("fill 1.85 kg")
	p.did("light")
	p.entered(herb)
	p.entered(ledger.Material{Batch: p.number, What: ledger.Oil, Name: "sunflower", Lot: "S-17", BestBefore: best, Quantity: many("800 ml"), AtC: 20})
	p.reads(10*time.Minute, 60, 90)
	p.reads(31*time.Minute, 92, 99.5)
	p.did("top-up 500 ml")
	p.did("strain")
	p.entered(ledger.Weighing{Batch: p.number, What: ledger.Marc, Quantity: many("150 g")})
	p.did("recharge 200 g")
	p.entered(again)
	p.reads(20*time.Minute, 90, 99.5)
	p.did("strain")
	p.reads(40*time.Minute, 24, 30)
	p.did("bottle 600 ml")
	p.entered(ledger.Weighing{Batch: p.number, What: ledger.Marc, Quantity: many("140 g"), Pass: 2})
	p.entered(ledger.Weighing{Batch: p.number, What: ledger.OilOut, Quantity: many("600 g"), Pass: 2})
	p.entered(ledger.Bottles{Batch: p.number, Numbers: []int{1, 2, 3, 4, 5}, Each: many("100 ml"), AtC: 21, Place: ledger.Cool, Label: true, Water: ledger.NoWater})
	p.entered(ledger.Deviation{Batch: p.number, Text: "the second hold was cut short", Explanation: "the gas ran out"})
	p.add("north", record.Batch{State: record.Closed, Number: p.number, Recipe: "ribwort", Verdict: "short"})
	p.at += time.Hour
	p.entered(ledger.Given{Batch: p.number, Bottle: 1, All: true, To: "book 12"})
	p.entered(ledger.Given{Batch: p.number, Bottle: 2, Quantity: many("60 ml"), Product: "cream-4", Name: "ribwort cream"})
	p.entered(ledger.Smelled{Batch: p.number, Numbers: []int{5}, Smell: ledger.Rancid})
}

package judge

import (
	"errors"
	"fmt"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
	"bainward/sensors"
	"bainward/sensors/bench"
)

// Rigs plays the courses of n varied rigs, two seconds a frame, on so many
// workers, and sums them up. The same n and exact give the same figures.
func Rigs(n int, exact bool, workers int) (*Score, error) {
	type result struct {
		score *Score
		err   error
	}
	seeds, results := make(chan uint64), make(chan result)
	for range workers {
		go func() {
			for seed := range seeds {
				s, err := Rig{Seed: seed, Exact: exact, Every: 2 * time.Second}.score()
				results <- result{s, err}
			}
		}()
	}
	go func() {
		for seed := range uint64(n) {
			seeds <- seed + 1
		}
		close(seeds)
	}()
	var total Score
	var err error
	for range n {
		r := <-results
		if r.err != nil {
			err = errors.Join(err, r.err)
			continue
		}
		total.merge(r.score)
	}
	return &total, err
}

// score plays everything on one rig.
func (r Rig) score() (*Score, error) {
	kinds := []Kind{Forgotten, Tended, Unentered, Misled}
	if r.Seed%4 == 0 {
		kinds = append(kinds, Long)
	}
	var s Score
	for _, k := range kinds {
		c, err := r.Course(k)
		if err != nil {
			return nil, fmt.Errorf("play rig %d: %w", r.Seed, err)
		}
		s.Add(c)
	}
	return &s, nil
}

// ConfigOf is what a maker would write into the site file about a rig.
func ConfigOf(rig bench.Rig) rules.Config {
	return rules.Config{
		Bath: "rig",
		Rig: rules.Rig{
			PanInsideDiameter:   rig.Stated.PanInsideDiameter,
			DishOutsideDiameter: rig.Stated.DishOutsideDiameter,
			DishBaseHeight:      rig.Stated.DishBaseHeight,
		},
		Recipe: rules.Recipe{
			OilML: rig.Dish.OilKg / 0.916 * 1000, HerbG: rig.Herb.Kg * 1000, Fresh: rig.Herb.Water > 0.4,
		}.Complete(),
		Limits: rules.DefaultLimits(),
	}
}

// Rig is one varied bath.
type Rig struct {
	Seed uint64
	// Exact: the maker measured pan and dish well; else each stated size is up
	// to a tenth off.
	Exact bool
	Every time.Duration // between frames
}

func (r Rig) build() bench.Rig {
	rig := bench.Vary(r.Seed)
	if r.Exact {
		rig.Stated = rig.True
	}
	if r.Seed%10 == 7 { // Vary goes to 2500 m only
		rig.Air.Pressure = bench.PressureAt(3000)
	}
	rig.Step = 500 * time.Millisecond
	return rig
}

// Course plays what kind asks for on the rig.
func (r Rig) Course(kind Kind) (*Course, error) {
	rig := r.build()
	// The maker goes by the probes, which may be half a degree low, and holds a
	// little longer than two hours of true heat.
	h := bench.Habits{SaysTo: 0.05, Hold: 150 * time.Minute, Longest: 5 * time.Hour}
	switch kind {
	case Tended:
		h.TopUpEvery = 30 * time.Minute
	case Long:
		h.TopUpEvery, h.Hold, h.Longest = 30*time.Minute, 5*time.Hour, 7*time.Hour
	case Unentered:
		h.TopUpEvery, h.Unentered = 30*time.Minute, true
	case Misled:
		// Half a litre more is entered than was poured, and the second top-up is
		// the last.
		h.TopUpEvery, h.TopUps = 30*time.Minute, 2
		h.First = []string{"say top-up 0.5 kg"}
	}
	script, err := bench.Attend(rig, h)
	if err != nil {
		return nil, err
	}
	c := &Course{
		Name: fmt.Sprintf("rig %d", r.Seed), Kind: kind, Config: ConfigOf(rig),
		BareKg: rig.True.BareKg(98), Hanging: rig.BathProbe.Place == bench.Hanging,
	}
	err = bench.Run(rig, script, r.Every, func(f sensors.Frame, events string, t bench.Truth) {
		said, parse := rules.ParseEvents(events)
		if parse != nil {
			err = parse
		}
		c.Rows = append(c.Rows, trace.Row{Wall: f.Wall, At: f.At, Probes: f.Probes, Pressure: f.Pressure, Events: said})
		c.Truth = append(c.Truth, Truth{At: f.At, WaterKg: t.WaterKg, HerbWaterKg: t.HerbWaterKg, Bare: t.Bare, Dry: t.Dry})
	})
	return c, err
}

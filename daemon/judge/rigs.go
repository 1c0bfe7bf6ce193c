package judge

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/trace"
	"bainward/sensors"
	"bainward/sensors/bench"
)

// Makers is what the makers of the drawn rigs know of them.
type Makers struct {
	Exact   bool // pan and dish measured exactly; else each stated size is up to a tenth off
	Weighed bool // the water that wets the base was weighed, to 2 %
	Earlier int  // batches made on the bath before, topped up and entered
}

// Rigs plays the courses of n varied rigs, two seconds a frame, on so many
// workers, and sums them up. The same arguments give the same figures.
func Rigs(n int, makers Makers, workers int) (*Score, error) {
	type result struct {
		score *Score
		err   error
	}
	seeds, results := make(chan uint64), make(chan result)
	for range workers {
		go func() {
			for seed := range seeds {
				s, err := Rig{Seed: seed, Makers: makers, Every: 2 * time.Second}.score()
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
	prior, err := r.earlier()
	if err != nil {
		return nil, fmt.Errorf("play earlier batches on rig %d: %w", r.Seed, err)
	}
	var s Score
	for _, k := range kinds {
		c, err := r.Course(k)
		if err != nil {
			return nil, fmt.Errorf("play rig %d: %w", r.Seed, err)
		}
		c.Config.Prior = prior
		s.Add(c)
	}
	return &s, nil
}

// earlier is what batches made before teach, each with the prior of the last.
func (r Rig) earlier() (balance.Prior, error) {
	var prior balance.Prior
	for i := range r.Makers.Earlier {
		before := r
		before.Batch = i + 1
		c, err := before.Course(Tended)
		if err != nil {
			return prior, err
		}
		c.Config.Prior = prior
		prior = play(c).learned
	}
	return prior, nil
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
	Seed   uint64
	Makers Makers
	Batch  int           // on the same rig: other noise, other weather, another turn of the knob
	Every  time.Duration // between frames
}

func (r Rig) build() bench.Rig {
	rig := bench.Vary(r.Seed)
	if r.Makers.Exact {
		rig.Stated = rig.True
	}
	r.another(&rig)
	if r.Seed%10 == 7 { // Vary goes to 2500 m only
		rig.Air.Pressure = bench.PressureAt(3000)
	}
	rig.Step = 500 * time.Millisecond
	return rig
}

// another makes the rig that of another batch: the same pan, dish and probes,
// on another day.
func (r Rig) another(rig *bench.Rig) {
	if r.Batch == 0 {
		return
	}
	rig.Seed += uint64(r.Batch) << 32
	d := rand.New(rand.NewPCG(rig.Seed, 0xba7c4))
	about := func(rel float64) float64 { return 1 + rel*(2*d.Float64()-1) }
	rig.Hob.Simmer = min(0.9*rig.Hob.Power, rig.Hob.Simmer*about(0.25))
	rig.Pan.FillKg *= about(0.05)
	rig.Herb.Kg *= about(0.2)
	rig.Air.RoomC *= about(0.1)
	rig.Air.Pressure *= about(0.01)
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
	if r.Makers.Weighed {
		off := rand.New(rand.NewPCG(r.Seed, 0x5ca1e)).NormFloat64()
		c.Config.Rig.WetsBaseG = 1000 * rig.True.BareKg(15) * (1 + 0.02*off)
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

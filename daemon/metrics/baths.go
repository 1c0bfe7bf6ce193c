package metrics

import (
	"math"
	"strconv"

	"github.com/prometheus/client_golang/prometheus"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// baths turns the newest snapshots into samples at each scrape.
type baths struct {
	snapshots func() []fold.Snapshot
}

// Describe implements prometheus.Collector.
func (*baths) Describe(out chan<- *prometheus.Desc) {
	for _, d := range allDescs {
		out <- d
	}
}

// Collect implements prometheus.Collector.
func (b *baths) Collect(out chan<- prometheus.Metric) {
	for _, s := range b.snapshots() {
		t := teller{out: out, bath: s.Bath}
		t.stands(s)
		if s.Wall.IsZero() {
			continue // no frame yet: nothing measured can be told
		}
		t.measured(s)
		t.batch(s)
		t.estimate(s.Estimate)
		t.ahead(s)
	}
}

// teller sends the samples of one bath.
type teller struct {
	out  chan<- prometheus.Metric
	bath string
}

// gauge sends one sample, or none when v is not known.
func (t teller) gauge(d *prometheus.Desc, v float64, labels ...string) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return
	}
	t.out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v, append([]string{t.bath}, labels...)...)
}

func (t teller) flag(d *prometheus.Desc, set bool, labels ...string) {
	v := 0.0
	if set {
		v = 1
	}
	t.gauge(d, v, labels...)
}

func (t teller) measured(s fold.Snapshot) {
	for role := range sensors.RoleCount {
		fault := s.Faults[role]
		if fault == sensors.NotFitted {
			continue
		}
		t.flag(probeOK, fault == sensors.NoFault, role.String())
		if fault != sensors.NoFault {
			t.flag(probeFault, true, role.String(), fault.Code())
			continue
		}
		t.gauge(temperature, s.Celsius[role], role.String())
	}
	source := "elevation"
	if s.Measured {
		source = "barometer"
	}
	t.gauge(pressure, float64(s.Pressure), source)
	t.gauge(boiling, s.BoilingC)
	t.gauge(lastFrame, float64(s.Wall.UnixMilli())/1000)
}

func (t teller) batch(s fold.Snapshot) {
	t.gauge(hold, s.Hold.Seconds())
	t.gauge(holdAsked, s.HoldAsked.Seconds())
	t.gauge(floor, s.FloorC)
	t.gauge(ceiling, s.CeilingC)
	if s.Phase != rules.Idle { // no batch, no highest
		t.gauge(oilMax, s.OilMaxC)
	}
	t.gauge(topUps, float64(s.TopUps))
	if s.Batch != "" {
		t.history(s)
	}
}

// history tells what a batch's history is drawn from. A series of it ends when
// the batch is closed: its last value is what the batch came to.
func (t teller) history(s fold.Snapshot) {
	t.flag(batchInfo, true, s.Batch, s.Recipe.Name)
	t.gauge(batchHold, s.Hold.Seconds(), s.Batch, strconv.Itoa(s.Pass))
	t.gauge(batchAsked, s.HoldAsked.Seconds(), s.Batch)
	t.gauge(batchMax, s.OilMaxC, s.Batch)
	for v := rules.Open; v <= rules.Spoiled; v++ {
		t.flag(batchVerdict, s.Verdict == v, s.Batch, v.String())
	}
}

const gramsPerKg = 1000

// estimate tells the estimates in base units: the core reckons in kg and hours.
func (t teller) estimate(e balance.Estimate) {
	const secondsPerHour = 3600
	t.bounds(water, e.WaterKg, gramsPerKg)
	t.bounds(boilOff, e.BoilOffKgH, float64(gramsPerKg)/secondsPerHour)
	t.bounds(toBare, e.ToBareS, 1)
	t.bounds(toDry, e.ToDryS, 1)
	t.bounds(herbWater, e.HerbWaterKg, gramsPerKg)
	if e.HerbWaterKg.Known() {
		t.flag(herbGone, e.HerbGone)
	}
	t.bounds(heatInWater, e.HeatW, 1)
	t.bounds(heatInDish, e.DishWPerK, 1)
	t.gauge(bareSoon, e.BareSoon)
}

// ahead tells what comes, and whether the maker is asked something.
func (t teller) ahead(s fold.Snapshot) {
	t.bounds(toFloor, s.ToFloorS, 1)
	t.bounds(toHeld, s.ToHeldS, 1)
	t.flag(asks, s.Asks)
	if s.Asks {
		t.gauge(asked, s.AskedKg*gramsPerKg)
	}
}

func (t teller) bounds(d *prometheus.Desc, r balance.Range, scale float64) {
	t.gauge(d, r.P10*scale, "p10")
	t.gauge(d, r.P50*scale, "p50")
	t.gauge(d, r.P90*scale, "p90")
}

// stands tells the phase and the alarms, which hold even before the first frame.
func (t teller) stands(s fold.Snapshot) {
	for p := rules.Idle; p <= rules.Abandoned; p++ {
		t.flag(phase, s.Phase == p, p.String())
	}
	for id := range rules.IDCount {
		a := s.Alarms[id]
		t.flag(alarmOpen, a.State.Open(), id.String(), a.Priority.String())
		for state := alarm.Normal; state <= alarm.OutOfService; state++ {
			t.flag(alarmState, a.State == state, id.String(), state.String())
		}
	}
}

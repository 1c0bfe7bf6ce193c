package metrics_test

import (
	"math"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"bainward/daemon/metrics"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// simmering is the north bath of the invented Alder Yard: the oil probe is
// trusted, the bath probe's wire is damaged, no room probe is fitted, and the
// water is getting low.
func simmering() fold.Snapshot {
	s := fold.Snapshot{
		Bath: "north", Batch: "2026-03-01-north-1", Recipe: rules.Recipe{Name: "ribwort-fresh"}, Wall: time.UnixMilli(1772356870500).UTC(),
		Phase: rules.Holding, Pass: 1,
		Pressure: 99890, Measured: true,
		BoilingC: 99.6, FloorC: 84.6, CeilingC: 100.6,
		Hold: 52 * time.Minute, HoldAsked: 2 * time.Hour, OilMaxC: 92.5, TopUps: 2,
		Estimate: balance.Estimate{
			WaterKg:     balance.Range{P10: 0.5, P50: 0.75, P90: 1},
			BoilOffKgH:  balance.Range{P10: 0.36, P50: 0.72, P90: 1.44},
			ToBareS:     balance.Range{P10: 600, P50: 900, P90: 1500},
			ToDryS:      balance.Range{P10: 2400, P50: 3600, P90: math.Inf(1)},
			HerbWaterKg: balance.Unknown,
			HeatW:       balance.Range{P10: 500, P50: 620.5, P90: 770},
			DishWPerK:   balance.Unknown,
			BareSoon:    0.125,
		},
		ToHeldS: balance.Range{P10: 4080, P50: 4080, P90: 4488},
	}
	s.Celsius = [sensors.RoleCount]float64{sensors.Oil: 91.8125, sensors.Bath: math.NaN(), sensors.Room: math.NaN()}
	s.Faults = [sensors.RoleCount]sensors.Fault{sensors.Bath: sensors.BadCRC, sensors.Room: sensors.NotFitted}
	for id := range rules.IDCount {
		s.Alarms[id].Priority = alarm.Medium
	}
	s.Alarms[rules.TopUpDue].State = alarm.Acknowledged
	return s
}

// fresh is a bath of which nothing has been read yet.
func fresh() fold.Snapshot {
	return fold.Snapshot{Bath: "south", BoilingC: math.NaN(), Estimate: balance.Nothing}
}

func scrape(t *testing.T, snapshots ...fold.Snapshot) (*prometheus.Registry, *metrics.Metrics) {
	t.Helper()
	return scrapeOutward(t, metrics.Outward{}, snapshots...)
}

func scrapeOutward(t *testing.T, o metrics.Outward, snapshots ...fold.Snapshot) (*prometheus.Registry, *metrics.Metrics) {
	t.Helper()
	reg := prometheus.NewPedanticRegistry()
	m, err := metrics.New(metrics.Options{
		Registerer: reg,
		Snapshots:  func() []fold.Snapshot { return snapshots },
		Outward:    func() metrics.Outward { return o },
		Places:     func() []metrics.Place { return []metrics.Place{{Name: "fridge", OK: true, Celsius: 4.25, WarmC: 8}} },
		Version:    "1.2.3",
	})
	if err != nil {
		t.Fatal(err)
	}
	return reg, m
}

// calling is how the Alder Yard reaches people: Robin's phone works, the mail to
// Sorrel never did, a dry pan waits for an answer, and its heat was cut.
func calling() metrics.Outward {
	c := &metrics.Calls{
		Ready: true,
		Channels: []metrics.Channel{
			{Name: "robin-phone", Delivered: 7, Withdrawn: 2},
			{Name: "mail", Waiting: 3, Failing: true, Failed: 5, GaveUp: 1},
		},
		Ways: []metrics.Way{
			{Contact: "Robin", Channel: "robin-phone", Worked: time.UnixMilli(1772356800250)},
			{Contact: "Sorrel", Channel: "mail"},
		},
	}
	c.Open[alarm.Critical], c.Open[alarm.Medium] = 1, 2
	return metrics.Outward{
		Calls:     c,
		Heartbeat: &metrics.Heartbeat{Calls: 60, Failures: 4},
		Cutouts:   []metrics.Cutout{{Bath: "north", Tripped: true}, {Bath: "south", Allowed: true}},
	}
}

package metrics_test

import (
	"math"
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"bainward/daemon/metrics"
	"bainward/rules/fold"
	"bainward/sensors"
)

// A place that is measured has its temperature, one whose probe is silent has none,
// and its faults are counted.
func TestPlacesAreTold(t *testing.T) {
	reg := prometheus.NewPedanticRegistry()
	m, err := metrics.New(metrics.Options{
		Registerer: reg, Version: "1.2.3", Snapshots: func() []fold.Snapshot { return nil },
		Places: func() []metrics.Place {
			return []metrics.Place{{Name: "fridge", OK: true, Celsius: 4.25, WarmC: 8}, {Name: "cool", Celsius: math.NaN(), WarmC: 15}}
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []sensors.Fault{sensors.BadCRC, sensors.Absent, sensors.Absent, sensors.NoFault, sensors.NotFitted} {
		m.PlaceFault("cool", f)
	}
	const want = `
# HELP bainward_place_celsius Corrected temperature of a place where bottles stand.
# TYPE bainward_place_celsius gauge
bainward_place_celsius{place="fridge"} 4.25
# HELP bainward_place_probe_faults_total Readings of a place where bottles stand that gave no usable temperature, by what was wrong.
# TYPE bainward_place_probe_faults_total counter
bainward_place_probe_faults_total{fault="absent",place="cool"} 2
bainward_place_probe_faults_total{fault="crc",place="cool"} 1
# HELP bainward_place_probe_ok Whether the probe of a place where bottles stand gives a temperature.
# TYPE bainward_place_probe_ok gauge
bainward_place_probe_ok{place="cool"} 0
bainward_place_probe_ok{place="fridge"} 1
# HELP bainward_place_warm_celsius Mean kinetic temperature of a day above which a place is too warm.
# TYPE bainward_place_warm_celsius gauge
bainward_place_warm_celsius{place="cool"} 15
bainward_place_warm_celsius{place="fridge"} 8
`
	if err := testutil.GatherAndCompare(reg, strings.NewReader(want), "bainward_place_celsius", "bainward_place_probe_faults_total", "bainward_place_probe_ok", "bainward_place_warm_celsius"); err != nil {
		t.Error(err)
	}
}

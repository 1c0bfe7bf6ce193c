package metrics_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"bainward/daemon/metrics"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

func TestWhatIsKnownOfABathIsToldAndNothingElse(t *testing.T) {
	reg, _ := scrape(t, simmering(), fresh())
	want, err := os.ReadFile(filepath.Join("testdata", "baths.txt"))
	if err != nil {
		t.Fatal(err)
	}
	// Every family that the file names is compared; the alarms' state sets have
	// a test of their own.
	var names []string
	for _, m := range regexp.MustCompile(`(?m)^# TYPE (\S+)`).FindAllSubmatch(want, -1) {
		names = append(names, string(m[1]))
	}
	if len(names) < 15 {
		t.Fatalf("testdata/baths.txt names only %d families", len(names))
	}
	if err := testutil.GatherAndCompare(reg, bytes.NewReader(want), names...); err != nil {
		t.Error(err)
	}
}

func TestAProbeThatIsNotTrustedHasNoTemperature(t *testing.T) {
	s := simmering()
	s.Celsius[sensors.Oil] = 91 // a number left over beside the fault must not leak
	s.Faults[sensors.Oil] = sensors.Stuck
	reg, _ := scrape(t, s)
	if n, err := testutil.GatherAndCount(reg, "bainward_temperature_celsius"); err != nil || n != 0 {
		t.Errorf("%d temperatures and error %v from probes that are stuck, damaged and not fitted, want none", n, err)
	}
	want := `
# HELP bainward_probe_fault_info What is wrong with a probe that is not trusted; always 1.
# TYPE bainward_probe_fault_info gauge
bainward_probe_fault_info{bath="north",fault="crc",role="bath"} 1
bainward_probe_fault_info{bath="north",fault="stuck",role="oil"} 1
`
	if err := testutil.GatherAndCompare(reg, strings.NewReader(want), "bainward_probe_fault_info"); err != nil {
		t.Error(err)
	}
}

// What the herb and the dish do is told once it is known, and the question only
// while it is asked.
func TestWhatIsReckonedIsToldOnlyWhileItIsKnown(t *testing.T) {
	s := simmering()
	names := []string{"bainward_herb_water_gone", "bainward_heat_into_dish_watts_per_kelvin", "bainward_top_up_seen_grams"}
	reg, _ := scrape(t, s)
	if n, err := testutil.GatherAndCount(reg, names...); err != nil || n != 0 {
		t.Errorf("%d samples and error %v of what is not known, want none", n, err)
	}
	s.Estimate.HerbWaterKg, s.Estimate.HerbGone = balance.Range{P50: 0.01, P90: 0.02}, true
	s.Estimate.DishWPerK = balance.Range{P10: 4, P50: 5, P90: 6.25}
	s.Asks, s.AskedKg = true, 0.4
	reg, _ = scrape(t, s)
	want := `
# HELP bainward_heat_into_dish_watts_per_kelvin Heat from the bath into the oil for each kelvin between them.
# TYPE bainward_heat_into_dish_watts_per_kelvin gauge
bainward_heat_into_dish_watts_per_kelvin{bath="north",bound="p10"} 4
bainward_heat_into_dish_watts_per_kelvin{bath="north",bound="p50"} 5
bainward_heat_into_dish_watts_per_kelvin{bath="north",bound="p90"} 6.25
# HELP bainward_herb_water_gone Whether the herb has given up its water.
# TYPE bainward_herb_water_gone gauge
bainward_herb_water_gone{bath="north"} 1
# HELP bainward_top_up_seen_grams About how much water was seen going in, while nobody has said how much it was.
# TYPE bainward_top_up_seen_grams gauge
bainward_top_up_seen_grams{bath="north"} 400
`
	if err := testutil.GatherAndCompare(reg, strings.NewReader(want), names...); err != nil {
		t.Error(err)
	}
}

func TestAStateSetHasExactlyOneStateThatHolds(t *testing.T) {
	reg, _ := scrape(t, simmering(), fresh())
	families, err := reg.Gather()
	if err != nil {
		t.Fatal(err)
	}
	holding := map[string]float64{}
	states := map[string]int{}
	for _, f := range families {
		if f.GetName() != "bainward_alarm_state" && f.GetName() != "bainward_phase" {
			continue
		}
		for _, m := range f.Metric {
			key := f.GetName()
			for _, l := range m.Label {
				if l.GetName() != "state" && l.GetName() != "phase" {
					key += " " + l.GetValue()
				}
			}
			holding[key] += m.Gauge.GetValue()
			states[key]++
		}
	}
	if len(holding) != 22 { // two baths, each with its phase and ten alarms
		t.Fatalf("found %d state sets, want 22", len(holding))
	}
	for key, sum := range holding {
		if sum != 1 || states[key] < 8 {
			t.Errorf("%s: %v of %d states hold, want one of at least eight", key, sum, states[key])
		}
	}
}

func TestWhatTheDaemonDoesIsCounted(t *testing.T) {
	reg, m := scrape(t)
	m.ProbeFault("north", sensors.Oil, sensors.PowerOn)
	m.ProbeFault("north", sensors.Oil, sensors.PowerOn)
	m.ProbeFault("north", sensors.Oil, sensors.NoFault)
	m.ProbeFault("north", sensors.Room, sensors.NotFitted)
	m.AnnouncementsDropped("mqtt", 3)
	m.PollDone(850 * time.Millisecond)
	m.CommitDone(20 * time.Millisecond)
	want := `
# HELP bainward_announcements_dropped_total Announcements given up because whoever should hear them was away for too long; the record still has them.
# TYPE bainward_announcements_dropped_total counter
bainward_announcements_dropped_total{channel="mqtt"} 3
# HELP bainward_commit_duration_seconds Time until what was read and judged was safely in the record on disk.
# TYPE bainward_commit_duration_seconds histogram
bainward_commit_duration_seconds_bucket{le="0.001"} 0
bainward_commit_duration_seconds_bucket{le="0.003"} 0
bainward_commit_duration_seconds_bucket{le="0.01"} 0
bainward_commit_duration_seconds_bucket{le="0.03"} 1
bainward_commit_duration_seconds_bucket{le="0.1"} 1
bainward_commit_duration_seconds_bucket{le="0.3"} 1
bainward_commit_duration_seconds_bucket{le="1"} 1
bainward_commit_duration_seconds_bucket{le="3"} 1
bainward_commit_duration_seconds_bucket{le="10"} 1
bainward_commit_duration_seconds_bucket{le="+Inf"} 1
bainward_commit_duration_seconds_sum 0.02
bainward_commit_duration_seconds_count 1
# HELP bainward_probe_faults_total Readings that gave no usable temperature, by what was wrong.
# TYPE bainward_probe_faults_total counter
bainward_probe_faults_total{bath="north",fault="power-on",role="oil"} 2
`
	err := testutil.GatherAndCompare(reg, strings.NewReader(want), "bainward_announcements_dropped_total",
		"bainward_commit_duration_seconds", "bainward_probe_faults_total")
	if err != nil {
		t.Error(err)
	}
	if n, err := testutil.GatherAndCount(reg, "bainward_poll_duration_seconds"); err != nil || n != 1 {
		t.Errorf("poll duration: %d histograms, error %v; want one", n, err)
	}
}

func TestOptionsThatAreMissingAreNamed(t *testing.T) {
	whole := metrics.Options{
		Registerer: prometheus.NewRegistry(),
		Snapshots:  func() []fold.Snapshot { return nil },
		Version:    "1",
	}
	for field, o := range map[string]metrics.Options{
		"Registerer": {Snapshots: whole.Snapshots, Version: "1"},
		"Snapshots":  {Registerer: whole.Registerer, Version: "1"},
		"Version":    {Registerer: whole.Registerer, Snapshots: whole.Snapshots},
	} {
		if _, err := metrics.New(o); err == nil || !strings.Contains(err.Error(), field) {
			t.Errorf("without %s: error %v does not name it", field, err)
		}
	}
}

func TestASecondSetOnOneRegistryIsRefusedAndTheFirstStays(t *testing.T) {
	reg, _ := scrape(t, simmering())
	_, err := metrics.New(metrics.Options{Registerer: reg, Snapshots: func() []fold.Snapshot { return nil }, Version: "2"})
	if err == nil {
		t.Fatal("registered twice without an error")
	}
	if n, err := testutil.GatherAndCount(reg, "bainward_temperature_celsius"); err != nil || n != 1 {
		t.Errorf("after the refusal the first set tells %d temperatures, error %v; want 1", n, err)
	}
}

package metrics

import (
	"math"

	"github.com/prometheus/client_golang/prometheus"

	"bainward/sensors"
)

// Place is how a place where bottles stand is now.
type Place struct {
	Name    string
	OK      bool    // its probe gives a temperature
	Celsius float64 // corrected; NaN: not known
	WarmC   float64 // above it a place is too warm over a day
}

// places turns the places into samples at each scrape.
type places struct {
	now func() []Place
}

// What is told of each place. They are constants in all but name.
var (
	placeCelsius = daemonDesc("place_celsius", "Corrected temperature of a place where bottles stand.", "place")
	placeOK      = daemonDesc("place_probe_ok", "Whether the probe of a place where bottles stand gives a temperature.", "place")
	placeWarm    = daemonDesc("place_warm_celsius", "Mean kinetic temperature of a day above which a place is too warm.", "place")
)

// Describe implements prometheus.Collector.
func (*places) Describe(out chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{placeCelsius, placeOK, placeWarm} {
		out <- d
	}
}

// Collect implements prometheus.Collector.
func (p *places) Collect(out chan<- prometheus.Metric) {
	gauge := func(d *prometheus.Desc, v float64, place string) {
		out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v, place)
	}
	for _, one := range p.now() {
		ok := 0.0
		if one.OK {
			ok = 1
		}
		gauge(placeOK, ok, one.Name)
		gauge(placeWarm, one.WarmC, one.Name)
		if one.OK && !math.IsNaN(one.Celsius) {
			gauge(placeCelsius, one.Celsius, one.Name)
		}
	}
}

// PlaceFault counts one reading of a place without a usable temperature.
func (m *Metrics) PlaceFault(place string, fault sensors.Fault) {
	if fault == sensors.NoFault || fault == sensors.NotFitted {
		return
	}
	m.placeFaults.WithLabelValues(place, fault.Code()).Inc()
}

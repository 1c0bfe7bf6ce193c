package metrics

import (
	"errors"
	"fmt"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"bainward/rules/fold"
	"bainward/sensors"
)

// Options says what to measure and where to register it. All fields but Outward
// and Places are needed.
type Options struct {
	Registerer prometheus.Registerer
	// Snapshots returns the newest snapshot of each bath. It is called at each
	// scrape, possibly from several goroutines at once.
	Snapshots func() []fold.Snapshot
	// Outward returns how people are reached. It is called as Snapshots is. nil:
	// nothing is told of it.
	Outward func() Outward
	// Places returns how the places are where bottles stand. It is called as Snapshots
	// is. nil: there is none.
	Places  func() []Place
	Version string // of the program
}

// Metrics counts what the daemon does. Its methods may be called from several
// goroutines at once and never block.
type Metrics struct {
	polls   prometheus.Histogram
	commits prometheus.Histogram
	faults  *prometheus.CounterVec
	dropped *prometheus.CounterVec

	placeFaults *prometheus.CounterVec
}

// New registers all metrics. It registers nothing if it returns an error.
func New(o Options) (*Metrics, error) {
	switch {
	case o.Registerer == nil:
		return nil, errors.New("set up metrics: Registerer is missing")
	case o.Snapshots == nil:
		return nil, errors.New("set up metrics: Snapshots is missing")
	case o.Version == "":
		return nil, errors.New("set up metrics: Version is missing")
	}
	m := newMetrics()
	all := []prometheus.Collector{
		m.polls, m.commits, m.faults, m.dropped, m.placeFaults,
		buildInfo(o.Version), &baths{snapshots: o.Snapshots},
	}
	if o.Outward != nil {
		all = append(all, &outward{now: o.Outward})
	}
	if o.Places != nil {
		all = append(all, &places{now: o.Places})
	}
	for i, c := range all {
		if err := o.Registerer.Register(c); err != nil {
			for _, done := range all[:i] {
				o.Registerer.Unregister(done)
			}
			return nil, fmt.Errorf("register metrics: %w", err)
		}
	}
	return m, nil
}

// Buckets in seconds. A poll is one conversion of 750 ms (DS18B20 data sheet,
// 12 bits) and the reads after it, so the interesting range is 0.75 to 2 s. A
// commit is one synced write: about a millisecond on an SSD, up to seconds on a
// worn SD card (common practice, no source).
var (
	pollBuckets   = []float64{0.1, 0.5, 0.8, 0.9, 1, 1.25, 1.5, 2, 5, 10}
	commitBuckets = []float64{0.001, 0.003, 0.01, 0.03, 0.1, 0.3, 1, 3, 10}
)

func newMetrics() *Metrics {
	return &Metrics{
		polls: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name:    "bainward_poll_duration_seconds",
			Help:    "Time that one reading of all probes took.",
			Buckets: pollBuckets,
		}),
		commits: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name:    "bainward_commit_duration_seconds",
			Help:    "Time until what was read and judged was safely in the record on disk.",
			Buckets: commitBuckets,
		}),
		faults: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "bainward_probe_faults_total",
			Help: "Readings that gave no usable temperature, by what was wrong.",
		}, []string{"bath", "role", "fault"}),
		dropped: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "bainward_announcements_dropped_total",
			Help: "Announcements given up because whoever should hear them was away for too long; the record still has them.",
		}, []string{"channel"}),
		placeFaults: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "bainward_place_probe_faults_total",
			Help: "Readings of a place where bottles stand that gave no usable temperature, by what was wrong.",
		}, []string{"place", "fault"}),
	}
}

func buildInfo(version string) prometheus.Collector {
	return prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name:        "bainward_build_info",
		Help:        "What runs; always 1.",
		ConstLabels: prometheus.Labels{"version": version},
	}, func() float64 { return 1 })
}

// PollDone counts one reading of all probes that took d.
func (m *Metrics) PollDone(d time.Duration) { m.polls.Observe(d.Seconds()) }

// CommitDone counts one commit to the record that took d.
func (m *Metrics) CommitDone(d time.Duration) { m.commits.Observe(d.Seconds()) }

// ProbeFault counts one reading without a usable temperature. A probe that was
// never fitted, and no fault at all, count as nothing.
func (m *Metrics) ProbeFault(bath string, role sensors.Role, fault sensors.Fault) {
	if fault == sensors.NoFault || fault == sensors.NotFitted {
		return
	}
	m.faults.WithLabelValues(bath, role.String(), fault.Code()).Inc()
}

// AnnouncementsDropped counts n announcements that a channel, such as "mqtt",
// had to give up.
func (m *Metrics) AnnouncementsDropped(channel string, n int) {
	m.dropped.WithLabelValues(channel).Add(float64(n))
}

package metrics

import (
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"bainward/rules/alarm"
)

// Outward is how the daemon reaches people and hobs at the instant of a scrape.
// What a site does not have is nil or empty here, and has no series.
type Outward struct {
	Calls     *Calls     // nil: nobody is called
	Heartbeat *Heartbeat // nil: nobody elsewhere listens
	Cutouts   []Cutout
}

// Calls is how people are called.
type Calls struct {
	Ready    bool                      // alarms were proven to reach a person lately
	Open     [alarm.Critical + 1]int64 // calls that wait for an answer, by priority
	Channels []Channel
	Ways     []Way
}

// Channel is how one channel does. The counts go up as long as the daemon runs.
type Channel struct {
	Name    string
	Waiting int  // notices, those being sent included
	Failing bool // the last try went wrong

	Delivered, Failed, GaveUp, Withdrawn int64 // tries that failed; notices else
}

// Way is one channel to one person.
type Way struct {
	Contact, Channel string
	Worked           time.Time // last; zero: never
}

// Heartbeat counts what was called elsewhere.
type Heartbeat struct {
	Calls, Failures int64
}

// Cutout is the heat cut-out of one bath.
type Cutout struct {
	Bath    string
	Allowed bool // the heat may be on
	Tripped bool // an alarm cut it, and nobody gave it back
}

// outward turns Outward into samples at each scrape.
type outward struct {
	now func() Outward
}

// Describe implements prometheus.Collector.
func (*outward) Describe(out chan<- *prometheus.Desc) {
	for _, d := range outwardDescs {
		out <- d
	}
}

// Collect implements prometheus.Collector.
func (o *outward) Collect(out chan<- prometheus.Metric) {
	s := sampler{out}
	now := o.now()
	if now.Calls != nil {
		s.calls(now.Calls)
	}
	if h := now.Heartbeat; h != nil {
		s.count(heartbeatCalls, h.Calls)
		s.count(heartbeatFailures, h.Failures)
	}
	for _, c := range now.Cutouts {
		s.flag(cutoutAllowed, c.Allowed, c.Bath)
		s.flag(cutoutTripped, c.Tripped, c.Bath)
	}
}

// sampler sends samples that are of no bath, or name it themselves.
type sampler struct {
	out chan<- prometheus.Metric
}

func (s sampler) calls(c *Calls) {
	s.flag(callsReady, c.Ready)
	for p, n := range c.Open {
		s.gauge(callsOpen, float64(n), alarm.Priority(p).String())
	}
	for _, ch := range c.Channels {
		s.channel(ch)
	}
	for _, w := range c.Ways {
		if !w.Worked.IsZero() {
			s.gauge(wayWorked, float64(w.Worked.UnixMilli())/1000, w.Contact, w.Channel)
		}
	}
}

func (s sampler) channel(c Channel) {
	s.gauge(noticesWaiting, float64(c.Waiting), c.Name)
	s.flag(channelFailing, c.Failing, c.Name)
	s.count(notices, c.Delivered, c.Name, "delivered")
	s.count(notices, c.Failed, c.Name, "failed")
	s.count(notices, c.GaveUp, c.Name, "gave-up")
	s.count(notices, c.Withdrawn, c.Name, "withdrawn")
}

func (s sampler) gauge(d *prometheus.Desc, v float64, labels ...string) {
	s.out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v, labels...)
}

func (s sampler) count(d *prometheus.Desc, n int64, labels ...string) {
	s.out <- prometheus.MustNewConstMetric(d, prometheus.CounterValue, float64(n), labels...)
}

func (s sampler) flag(d *prometheus.Desc, set bool, labels ...string) {
	v := 0.0
	if set {
		v = 1
	}
	s.gauge(d, v, labels...)
}

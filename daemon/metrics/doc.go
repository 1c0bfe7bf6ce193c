// Package metrics tells Prometheus how the baths are and how the daemon does.
//
// Start with New. What is known of a bath is read from the newest snapshots at
// each scrape, so a metric never lags behind the record and a bath that is
// gone leaves nothing behind. What happens between scrapes (polls, commits,
// probe faults, dropped announcements) is counted as it happens.
//
// Names follow OpenMetrics 1.0: prefix bainward_, base units in the name
// (celsius, seconds, pascals, grams), _total on counters, _info on facts. What
// is not known has no sample: there is never a NaN, a zero or an old value in
// place of a temperature that no probe gave. State sets (phase, alarm state)
// have one series a state, 1 for the state that holds and 0 for the others.
//
// How people are called, the heartbeat and the cut-outs (outward.go) are read at
// each scrape too. A site without one of them has no series of it, so that an
// alert rule on it stays quiet there.
//
// The places where bottles stand (places.go) are read at each scrape as well; one
// without a probe has no series.
//
// A reckoned figure has a label bound: one in ten chances below p10, half below
// p50, one in ten above p90.
//
// This package opens no port and registers nothing but itself, on the given
// Registerer. Alert rules on these metrics are in dashboards/prometheus.
package metrics

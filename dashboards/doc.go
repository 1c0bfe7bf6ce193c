// Package dashboards draws what people look at: the page of a bath, the pan in
// cross-section and the trace of a batch.
//
// Start with Page, which is everything the templates show, and Describe, which
// turns a snapshot into the sentences of the page. DrawPan and DrawSVG
// make the drawings; both are plain functions from values to bytes.
//
// The package knows nothing of HTTP, files or clocks, and decides nothing: what
// is an alarm, what may be pressed now and how much water is left come from the
// rules. It does not draw gauges of things that are not known; it says so.
package dashboards

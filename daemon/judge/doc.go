// Package judge holds what the rules say of a bath against what was true, and
// sums it up in the figures that foresight is measured by.
//
// Start with Course (a trace with its truth) and Score (the figures). Rigs
// makes courses with the simulator of sensors/bench, always the same for the
// same seed; ReadFolder reads courses that were measured, or simulated by
// somebody else.
package judge

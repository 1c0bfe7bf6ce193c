// Package rules is the pure core that judges a water bath: Step takes a state
// and one input and returns the next state and what every rule says.
//
// Start with Step. A rule is one file named for it: its limits, their reason
// and source, its physics and its sentences. What all rules look at is gathered
// first: which readings are trusted (trust.go), how they move (trail.go), what
// the batch is doing (course.go), how long the oil has been held (hold.go), and
// what one instant looks like (sight.go).
//
// Nothing here knows a clock, a file, a network, a goroutine or chance. Time
// arrives in the input. Every product that is added or subtracted is written
// float64(x*y) + z, so that no compiler fuses it and an arm64 machine computes
// the same bits as an amd64 one; exp, log and pow come from repeatable.
package rules

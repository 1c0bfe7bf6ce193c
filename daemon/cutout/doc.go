// Package cutout takes the heat from a bath that boils dry or overheats: by a
// pin that holds a relay, or by a switched socket that listens to the broker.
//
// It is no substitute for a safety device, and every text it gives says so. It is
// off unless a site asks for it.
//
// Decide, in decide.go, is the whole judgement, and pure: the heat is allowed
// only while the bath was read within the last Fresh and neither alarm stands;
// what is not known counts as danger. What cut it once keeps it cut until a
// person resets it. Start with New, an Output (Level, Pulse or NewSocket) and
// Run; tell it every poll with Poll.
//
// What becomes of the heat when the daemon, the Pi or the broker dies depends on
// the output and its wiring: deploy/outputs.md goes through the cases.
package cutout

// Caution stands in every text of this package.
const Caution = "the cut-out is no substitute for a safety device"

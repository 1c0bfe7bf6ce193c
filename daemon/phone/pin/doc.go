// Package pin shows on a GPIO pin what stands: a buzzer, a lamp or a relay board
// that tells whoever is near that an alarm waits.
//
// It carries no single messages, as the channels to phones do, but shows a state
// for as long as it lasts. Start with Open, which finds a pin of this machine,
// and New; Run drives the pin until its context ends, and Show tells it what
// stands now. Prove sounds the pin once, so that somebody can say whether it is
// heard.
//
// The pin is off before the first Show and after Run. A daemon that dies leaves
// it as the kernel leaves a pin that nobody holds: a buzzer is no proof of life.
//
// It switches nothing that heats: that is daemon/cutout.
package pin

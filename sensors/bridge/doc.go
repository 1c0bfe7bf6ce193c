// Package bridge reads DS18B20 thermometers through a DS2482-100, DS2482-800
// or DS2483 bridge on an I²C bus, with periph's ds248x and onewire packages.
//
// Start with Open, or with OpenHost for a bus of the machine itself; both give
// a Wire, which is a sensors.Source. Wire.Read is one poll: every probe
// converts at once, then each scratchpad is read.
//
// # How long a poll takes
//
// Reading one scratchpad takes 19 bytes on the 1-Wire line, about 16 ms with
// the I²C bus at 400 kHz and 26 ms at 100 kHz. Probes with their own supply
// tell when they are done, genuine ones after about 0.6 s, so twenty of them
// fit into one second at 400 kHz. At the Raspberry Pi's default of 100 kHz about
// fourteen do: set dtparam=i2c_arm_baudrate=400000.
//
// Probes on parasite power cannot tell. They get the strong pull-up for the
// full 750 ms of the data sheet, which leaves time for about fifteen probes in
// a second; and one pull-up feeds only a few converting probes (each takes up
// to 1.5 mA). Give every probe its supply wire where there is a choice.
//
// A probe that never gets done holds up the poll until 900 ms, and hides whether
// the others are: those that show another value than before are taken, those
// that show the same are Stale, the healthy ones among them too.
//
// # What it does not do
//
// It does not write to the probes: neither resolution nor alarm limits. It
// does not share a bridge: one Wire for each, one channel for each DS2482-800.
package bridge

// Package wire emulates, bit by bit, what hangs on a Raspberry Pi's I²C bus in
// a bath monitor: a DS2482-100, DS2482-800 or DS2483 bridge, the 1-Wire line
// behind it, the DS18B20 thermometers on that line, and a BMP280 barometer
// beside them. The demo and the tests drive it with the real drivers, so what
// they show is what the drivers do.
//
// Start with Bus, which is a periph i2c.Bus; attach a Bridge over a Line, and
// add Chips to the line:
//
//	clock := wire.Clock{Now: sim.Now}
//	line := wire.NewLine(clock)
//	line.Add(wire.ChipOptions{Address: a, Celsius: bath.Oil})
//	bus := wire.NewBus("bench", clock)
//	bus.Attach(0x18, wire.NewDS2482(line))
//
// Kernel shows the same chips as the files that Linux's w1_therm driver makes.
//
// Time is the caller's: a conversion is over when the caller's clock says so.
// If Clock.Spend is set, every I²C byte and 1-Wire slot is charged to it with
// the standard durations, which tells how long a poll would take on a real wire.
//
// Faults are set while it runs, from any goroutine: see ChipFaults, LineFaults
// and Bus.FailNext. Not emulated: overdrive speed, electrical noise other than
// flipped bits, and the busy bit of the bridge (a 1-Wire command is over when
// its I²C transaction is).
package wire

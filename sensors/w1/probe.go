package w1

import (
	"bytes"
	"context"
	"path/filepath"

	"bainward/sensors"
)

// probe is what is remembered of one probe from poll to poll.
type probe struct {
	asking  question[answer]
	history sensors.History
	fault   sensors.Fault
	power   power
	recheck bool // something happened since power was asked for
}

// power is where a probe gets its current.
type power uint8

const (
	unknown  power = iota
	external       // it has a supply of its own
	parasite       // it lives on the data wire
)

// answer is what the kernel's files of one probe said.
type answer struct {
	slave []byte
	power power
	asked bool // power was asked for
}

// ask reads a probe's files, or returns false when ctx ends before. How the
// probe is powered is asked once, and again after whatever might have changed
// it, since each time costs the wire another question.
func (w *Wire) ask(ctx context.Context, a sensors.Address, p *probe) (answer, bool) {
	dir := filepath.Join(w.root, a.String())
	askPower := p.power == unknown || p.recheck
	return p.asking.ask(ctx, func() answer {
		slave, err := w.read(filepath.Join(dir, slaveFile))
		if err != nil {
			// The folder is gone, or the driver gave up: the probe is absent.
			w.log.Debug("probe's file cannot be read", "address", a, "error", err)
			return answer{}
		}
		said := answer{slave: slave}
		if askPower && len(slave) > 0 {
			said.power, said.asked = w.readPower(filepath.Join(dir, powerFile)), true
		}
		return said
	})
}

// readPower returns unknown if the file is missing, empty or an error number.
func (w *Wire) readPower(path string) power {
	text, err := w.read(path)
	if err != nil {
		return unknown
	}
	switch string(bytes.TrimSpace(text)) {
	case "0":
		return parasite
	case "1":
		return external
	}
	return unknown
}

// judge turns an answer into a sample. The zero answer is that of a probe which
// did not give one.
func (w *Wire) judge(a sensors.Address, said answer) sensors.Sample {
	p := w.probe(a)
	if said.asked {
		p.power, p.recheck = said.power, false
	}
	pad, fault := ParseSlave(said.slave)
	reading := sensors.Failed(fault)
	switch fault {
	case sensors.NoFault:
		reading = p.history.Decode(pad)
	case sensors.Absent:
		p.history.Lost()
	}
	switch reading.Fault {
	case sensors.Absent, sensors.AllZero, sensors.PowerOn, sensors.ConversionFailed:
		p.recheck = true // a broken supply wire shows as one of these
	}
	return sensors.Sample{
		Address:    a,
		Reading:    reading,
		Scratchpad: pad,
		Parasite:   p.power == parasite,
		PowerKnown: p.power != unknown,
	}
}

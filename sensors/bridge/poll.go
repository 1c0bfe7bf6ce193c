package bridge

import (
	"context"

	"periph.io/x/conn/v3/onewire"

	"bainward/sensors"
)

// probe is what is remembered of one probe from poll to poll.
type probe struct {
	history  sensors.History
	pad      [9]byte // the last one that came through whole
	seen     bool    // pad holds one
	fault    sensors.Fault
	parasite bool
	asked    bool // parasite is what the probe said
}

// Read converts on all probes and reads those asked for: see sensors.Source.
//
// It returns an error, besides the faults in the samples, if nothing of the
// line could be read: ErrShorted (each sample AllZero), ErrNobody or ErrBridge
// (each Absent), or the error of ctx. What was read before the bridge failed
// stays in the samples.
func (w *Wire) Read(ctx context.Context, addresses []sensors.Address) ([]sensors.Sample, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	samples := make([]sensors.Sample, len(addresses))
	for i, a := range addresses {
		samples[i] = sensors.Sample{Address: a, Reading: sensors.Failed(sensors.Absent)}
	}
	w.link.begin()
	err := w.poll(ctx, samples)
	if isShort(err) {
		for i := range samples {
			samples[i].Reading = sensors.Failed(sensors.AllZero)
		}
	}
	w.note(samples)
	return samples, w.explain("read probes", err)
}

func (w *Wire) poll(ctx context.Context, samples []sensors.Sample) error {
	var done bool
	if err := w.attempt(ctx, func() (err error) {
		done, err = w.convert(ctx)
		return err
	}); err != nil {
		return err
	}
	for i := range samples {
		s := &samples[i]
		// After a reopening the probes still hold what they converted.
		err := w.attempt(ctx, func() error { return w.readProbe(s, done) })
		switch {
		case isShort(err):
			s.Reading = sensors.Failed(sensors.AllZero)
		case isNobody(err):
			s.Reading = sensors.Failed(sensors.Absent)
		case err != nil:
			return err
		}
	}
	return nil
}

// readProbe reads and judges one scratchpad; damaged ones are read once more.
func (w *Wire) readProbe(s *sensors.Sample, done bool) error {
	p := w.probe(s.Address)
	for range 2 {
		if err := w.talk(s.Address, cmdReadScratchpad, s.Scratchpad[:]); err != nil {
			s.Scratchpad = [9]byte{}
			return err
		}
		if s.Reading = p.history.Decode(s.Scratchpad); s.Reading.Fault != sensors.BadCRC {
			break
		}
	}
	switch s.Reading.Fault {
	case sensors.AllOnes:
		// The reset before was answered, so the wire is whole up to the bridge
		// and its pull-up works. After Match ROM only the probe of that address
		// may speak: nine bytes of ones mean that it is not there.
		s.Reading = sensors.Failed(sensors.Absent)
		return nil
	case sensors.BadCRC, sensors.AllZero:
		s.Parasite, s.PowerKnown = p.parasite, p.asked
		return nil
	}
	if err := w.tellSupply(s, p); err != nil {
		return err
	}
	if !done && s.Reading.OK() && (!p.seen || s.Scratchpad == p.pad) {
		// Somebody was still converting. A probe that shows another value than
		// before is done; one that shows the same may be the one that is not.
		s.Reading = sensors.Failed(sensors.Stale)
	}
	p.pad, p.seen = s.Scratchpad, true
	return nil
}

// tellSupply fills in how the probe gets its current. On a line with parasite
// power each one is asked once.
func (w *Wire) tellSupply(s *sensors.Sample, p *probe) error {
	switch {
	case w.supply == external:
		p.parasite, p.asked = false, true
	case w.supply == parasite && !p.asked:
		var answer [1]byte
		if err := w.talk(s.Address, cmdReadPowerSupply, answer[:]); err != nil {
			return err
		}
		p.parasite, p.asked = answer[0] != 0xFF, true
	}
	s.Parasite, s.PowerKnown = p.parasite, p.asked
	return nil
}

// talk sends a command to one probe and reads its answer.
func (w *Wire) talk(a sensors.Address, command byte, answer []byte) error {
	to := onewire.Dev{Bus: w.dev, Addr: onewire.Address(a)}
	return to.Tx([]byte{command}, answer)
}

// note logs faults that came or went. After those that a lost supply brings
// about, and after a probe was plugged in, the supply is asked for again: a
// broken supply wire turns a probe into one on parasite power, which the strong
// pull-up can still feed.
func (w *Wire) note(samples []sensors.Sample) {
	for _, s := range samples {
		p := w.probe(s.Address)
		was, is := p.fault, s.Reading.Fault
		p.fault = is
		if is == sensors.PowerOn || is == sensors.ConversionFailed || was == sensors.Absent && is != was {
			w.supply = unknown
		}
		if is != was {
			w.o.Logger.Info("probe changed", "address", s.Address, "was", was, "is", is)
		}
	}
}

// probe returns what is remembered of an address.
func (w *Wire) probe(a sensors.Address) *probe {
	p := w.probes[a]
	if p == nil {
		p = &probe{}
		w.probes[a] = p
	}
	return p
}

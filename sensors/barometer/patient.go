package barometer

import (
	"context"
	"errors"

	"periph.io/x/conn/v3/i2c"
)

// patience is how many transactions one measurement may take. It needs four to
// find the chip, three to measure, and some more if the chip is slower than
// typical, by a millisecond at most: ten at 400 kHz.
const patience = 100

var errBusy = errors.New("measuring for longer than it can take: the chip or the bus hangs")

// patientBus is a bus whose patience ends. periph asks a chip whether it is done
// until it says yes, which a bus that reads all ones never does.
type patientBus struct {
	i2c.Bus
	ctx  context.Context // of the measurement under way; periph hands none on
	left int
}

// begin gives the next measurement its transactions.
func (p *patientBus) begin(ctx context.Context) { p.ctx, p.left = ctx, patience }

// Tx implements i2c.Bus.
func (p *patientBus) Tx(addr uint16, w, r []byte) error {
	if err := p.ctx.Err(); err != nil {
		return err
	}
	if p.left == 0 {
		return errBusy
	}
	p.left--
	return p.Bus.Tx(addr, w, r)
}

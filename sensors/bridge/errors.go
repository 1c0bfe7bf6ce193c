package bridge

import (
	"errors"
	"fmt"

	"periph.io/x/conn/v3/onewire"
)

// Causes of an error of Read and Probes; ask with errors.Is.
var (
	// ErrBridge: the bridge itself fails, or the I²C bus.
	ErrBridge = errors.New("the 1-Wire bridge does not answer as it should")
	// ErrShorted: the 1-Wire line is held low.
	ErrShorted = errors.New("the 1-Wire line is held low: look for data touching ground, or a probe plugged in the wrong way round")
	// ErrNobody: no probe answers a reset of the 1-Wire line.
	ErrNobody = errors.New("no probe answers on the 1-Wire line: check the plug, the data wire and the ground wire")
	// ErrDamaged: a search met chips, but made no sense of them twice.
	ErrDamaged = errors.New("the search was damaged on the 1-Wire line: unplug probes until it passes, and look for a loose plug or a very long branch")
)

// interrupted is the error of a wait or a context that ended.
type interrupted struct{ error }

func (e interrupted) Unwrap() error { return e.error }

func isShort(err error) bool {
	var short onewire.ShortedBusError
	return errors.Is(err, ErrShorted) || errors.As(err, &short) && short.IsShorted()
}

// isNobody: of all 1-Wire errors, periph's Tx gives only this one besides a
// short; it does not carry onewire.NoDevicesError.
func isNobody(err error) bool {
	var bus onewire.BusError
	return errors.Is(err, ErrNobody) || !isShort(err) && errors.As(err, &bus) && bus.BusError()
}

// isBridgeFault: what is no fault of the line and no interruption came over
// I²C, and has spoiled periph's device object.
func isBridgeFault(err error) bool {
	var stop interrupted
	return err != nil && !isShort(err) && !isNobody(err) && !errors.Is(err, ErrDamaged) && !errors.As(err, &stop)
}

// explain adds to an error what was being done and where, and what to check.
func (w *Wire) explain(verb string, err error) error {
	if err == nil {
		return nil
	}
	hint := ""
	switch {
	case isShort(err):
		err = ErrShorted
	case isNobody(err):
		err = ErrNobody
	case isBridgeFault(err):
		err = fmt.Errorf("%w: %w", ErrBridge, err)
		hint = "; check the bridge's supply, SDA and SCL, and its address with i2cdetect"
	}
	return fmt.Errorf("%s at %#x on I²C bus %q: %w%s", verb, w.o.Addr, w.o.Bus.String(), err, hint)
}

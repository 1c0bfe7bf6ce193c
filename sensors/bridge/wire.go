package bridge

import (
	"cmp"
	"context"
	"io"
	"slices"
	"sync"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/onewire"
	"periph.io/x/devices/v3/ds248x"

	"bainward/sensors"
)

// Wire is the 1-Wire line behind one bridge. It implements sensors.Source and
// may be used from several goroutines; one poll runs at a time.
type Wire struct {
	o      Options
	raw    i2c.Dev   // our own way to the bridge, beside periph's
	closer io.Closer // of the bus, if the Wire opened it

	mu     sync.Mutex
	dev    *ds248x.Dev // nil while the bridge does not answer
	link   link
	supply supply
	probes map[sensors.Address]*probe
}

var _ sensors.Source = (*Wire)(nil)

// Open finds the bridge and returns the Wire behind it. A bridge that does not
// answer is an error. A line that is held low, or has no probes on it, is not:
// Read tells of it, and goes on when it is mended.
func Open(o Options) (*Wire, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	w := &Wire{
		o:      o,
		raw:    i2c.Dev{Bus: o.Bus, Addr: o.Addr},
		probes: map[sensors.Address]*probe{},
	}
	if err := w.connect(); isBridgeFault(err) {
		return nil, w.explain("open 1-Wire bridge", err)
	}
	return w, nil
}

// Close forgets the bridge, and closes the bus if OpenHost opened it.
func (w *Wire) Close() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.dev = nil
	if w.closer == nil {
		return nil
	}
	return w.closer.Close()
}

// Probes searches the line and returns the addresses of its thermometers,
// sorted by family and serial number. A line on which nobody answers gives
// none and no error.
func (w *Wire) Probes(ctx context.Context) ([]sensors.Address, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.link.begin()
	var found []onewire.Address
	err := w.attempt(ctx, func() (err error) {
		found, err = w.search()
		return err
	})
	if err != nil && !isNobody(err) {
		return nil, w.explain("search for probes", err)
	}
	var addresses []sensors.Address
	for _, f := range found {
		switch a := sensors.Address(f); a.Family() {
		case sensors.FamilyDS18B20, sensors.FamilyDS1822, sensors.FamilyDS1825:
			addresses = append(addresses, a)
		default:
			w.o.Logger.Debug("1-Wire device is no thermometer", "address", a)
		}
	}
	slices.SortFunc(addresses, func(a, b sensors.Address) int {
		return cmp.Or(cmp.Compare(a.Family(), b.Family()), cmp.Compare(a.Serial(), b.Serial()))
	})
	return addresses, nil
}

// search tries twice. periph gives one kind of error for an empty line and for
// a damaged search, so a reset decides between them.
func (w *Wire) search() ([]onewire.Address, error) {
	for range 2 {
		found, err := w.dev.Search(false)
		if err == nil {
			return found, nil
		}
		if err := w.dev.Tx([]byte{cmdSkipROM}, nil, onewire.WeakPullup); err != nil {
			return nil, err
		}
	}
	return nil, ErrDamaged
}

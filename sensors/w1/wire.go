package w1

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"

	"bainward/sensors"
)

// DefaultRoot is where Linux shows the devices on its 1-Wire lines.
const DefaultRoot = "/sys/bus/w1/devices"

// ErrNoDriver is the error of Open, Probes and Read if the root is missing; ask
// with errors.Is.
var ErrNoDriver = errors.New("the 1-Wire driver is not loaded: on a Raspberry Pi add dtoverlay=w1-gpio to /boot/firmware/config.txt and restart")

// Options says where the kernel's files are.
type Options struct {
	// Root is the folder with the device folders; empty means DefaultRoot.
	Root string
	// Logger is told of faults that come and go; nil means nobody.
	Logger *slog.Logger
}

// Wire is every 1-Wire line below one root. It implements sensors.Source and
// may be used from several goroutines; one poll runs at a time.
type Wire struct {
	root string
	log  *slog.Logger
	// How sysfs is read and written; tests put a slow kernel there.
	read  func(path string) ([]byte, error)
	write func(path string, text []byte) error

	turn    chan struct{} // holds a token while a poll runs
	probes  map[sensors.Address]*probe
	masters map[string]*master
}

var _ sensors.Source = (*Wire)(nil)

// Open looks whether the root is there and returns the Wire below it. A root
// that is missing is ErrNoDriver. One without any probes is no error: they
// may be plugged in later.
func Open(o Options) (*Wire, error) {
	if o.Root == "" {
		o.Root = DefaultRoot
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	t, err := look(o.Root)
	if err != nil {
		return nil, err
	}
	if len(t.masters) == 0 && len(t.probes) == 0 {
		o.Logger.Warn("no 1-Wire line yet: on a Raspberry Pi add dtoverlay=w1-gpio to /boot/firmware/config.txt and restart", "root", o.Root)
	}
	return &Wire{
		root:    o.Root,
		log:     o.Logger,
		read:    readFile,
		write:   writeFile,
		turn:    make(chan struct{}, 1),
		probes:  map[sensors.Address]*probe{},
		masters: map[string]*master{},
	}, nil
}

// Close has nothing to let go of: no file stays open between polls.
func (w *Wire) Close() error { return nil }

// Probes returns the addresses of the thermometers that the kernel lists,
// sorted by family and serial number. It does not ask whether they answer.
func (w *Wire) Probes(ctx context.Context) ([]sensors.Address, error) {
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("search for probes: %w", err)
	}
	t, err := look(w.root)
	return t.probes, err
}

// explain adds what a missing root means.
func explain(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w: %w", err, ErrNoDriver)
	}
	return err
}

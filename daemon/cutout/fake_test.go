package cutout_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"

	"bainward/daemon/cutout"
)

const ms = time.Millisecond

var errBus = errors.New("bus is gone")

// recorder is a pin and a broker in one: it notes what it was told and when.
type recorder struct {
	gpiotest.Pin
	mu    sync.Mutex
	start time.Time
	said  []string
	err   error
}

func newRecorder() *recorder {
	return &recorder{Pin: gpiotest.Pin{N: "GPIO27", Num: 27}, start: time.Now()}
}

func (r *recorder) note(format string, args ...any) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err != nil {
		return r.err
	}
	r.said = append(r.said, fmt.Sprintf("%v ", time.Since(r.start))+fmt.Sprintf(format, args...))
	return nil
}

// Out is the pin.
func (r *recorder) Out(l gpio.Level) error {
	if err := r.note("%v", l); err != nil {
		return err
	}
	return r.Pin.Out(l)
}

// publish is the broker.
func (r *recorder) publish(topic, payload string, retain bool) error {
	return r.note("%s %s retained=%t", topic, payload, retain)
}

func (r *recorder) fails(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.err = err
}

// expect compares what was said since it was asked before.
func (r *recorder) expect(t *testing.T, want ...string) {
	t.Helper()
	synctest.Wait()
	r.mu.Lock()
	defer r.mu.Unlock()
	if !slices.Equal(r.said, want) {
		t.Errorf("said\n%q\nwant\n%q", r.said, want)
	}
	r.said = nil
}

// run starts a cut-out in a bubble; end ends it and waits.
func run(t *testing.T, o cutout.Options) (c *cutout.Cutout, end func()) {
	t.Helper()
	o.Bath = "north"
	c, err := cutout.New(o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); c.Run(ctx) }()
	end = func() { cancel(); <-done }
	t.Cleanup(end)
	synctest.Wait()
	return c, end
}

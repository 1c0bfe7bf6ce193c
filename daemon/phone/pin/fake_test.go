package pin_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"

	"bainward/daemon/phone/pin"
	"bainward/rules/alarm"
)

// edge is a level of the pin and when it was set, since the run began.
type edge struct {
	at    time.Duration
	level gpio.Level
}

func (e edge) String() string { return fmt.Sprintf("%v %v", e.at, e.level) }

// recorder is a pin that notes its edges, and fails when told to.
type recorder struct {
	gpiotest.Pin
	mu    sync.Mutex
	start time.Time
	edges []edge
	tries int
	err   error
	stuck chan struct{} // if set, Out hangs until it is closed
}

func newRecorder() *recorder {
	return &recorder{Pin: gpiotest.Pin{N: "GPIO17", Num: 17}, start: time.Now()}
}

func (r *recorder) Out(l gpio.Level) error {
	if r.stuck != nil {
		<-r.stuck
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.tries++
	if r.err != nil {
		return r.err
	}
	r.edges = append(r.edges, edge{time.Since(r.start), l})
	return r.Pin.Out(l)
}

func (r *recorder) fails(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.err = err
}

// seen returns the edges so far, and forgets them.
func (r *recorder) seen() []edge {
	synctest.Wait()
	r.mu.Lock()
	defer r.mu.Unlock()
	seen := r.edges
	r.edges = nil
	return seen
}

// running is an output that runs in a bubble until the test ends.
type running struct {
	*pin.Output
	*recorder
	end func() // ends Run and waits for it
}

func run(t *testing.T, o pin.Options) running {
	t.Helper()
	r := newRecorder()
	if o.Pin == nil {
		o.Pin = r
	}
	o.Name = "buzzer"
	if o.Logger == nil {
		o.Logger = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	out, err := pin.New(o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); out.Run(ctx) }()
	end := func() { cancel(); <-done }
	t.Cleanup(end)
	synctest.Wait()
	return running{out, r, end}
}

// stands is one unacknowledged alarm.
func stands(p alarm.Priority) pin.Standing {
	return pin.Standing{}.With(alarm.Unacknowledged, p)
}

var errBus = errors.New("bus is gone")

const ms = time.Millisecond

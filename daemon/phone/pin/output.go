package pin

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"periph.io/x/conn/v3/gpio"

	"bainward/rules/alarm"
)

// Options say which pin shows what.
type Options struct {
	Name   string         // the channel's name in the site file
	Pin    gpio.PinOut    // from Open
	Low    bool           // the pin is active when low
	Least  alarm.Priority // alarms below it are not shown: high for a buzzer, low for a lamp, say
	Steady bool           // on without a pattern, while anything stands
	Logger *slog.Logger   // default slog.Default()
	// OnError, if set, is told once an outage that the pin cannot be switched, and
	// with nil that it can again. Run calls it: it must not wait for anything.
	OnError func(error)
}

// Output is one pin at work.
type Output struct {
	o       Options
	changed chan struct{} // room for one: standing has a new value
	proofs  chan proof
	ended   chan struct{} // closed when Run returns

	mu       sync.Mutex
	standing Standing
}

// New checks o. The pin is first switched by Run.
func New(o Options) (*Output, error) {
	switch {
	case o.Name == "":
		return nil, errors.New("make pin output: Name is missing")
	case o.Pin == nil:
		return nil, fmt.Errorf("make pin output %q: Pin is missing", o.Name)
	}
	if o.Logger == nil {
		o.Logger = slog.Default()
	}
	return &Output{
		o:       o,
		changed: make(chan struct{}, 1),
		proofs:  make(chan proof),
		ended:   make(chan struct{}),
	}, nil
}

// Name is the channel's name in the site file.
func (out *Output) Name() string { return out.o.Name }

// Show tells what stands now. It never waits, however slow the pin is, and may
// be called as often as one likes: a pattern goes on while its priority stays.
func (out *Output) Show(s Standing) {
	out.mu.Lock()
	same := out.standing == s
	out.standing = s
	out.mu.Unlock()
	if same {
		return
	}
	select {
	case out.changed <- struct{}{}:
	default: // one is waiting already, and will find the newest
	}
}

// wanted is the mark to be shown now.
func (out *Output) wanted() Mark {
	out.mu.Lock()
	defer out.mu.Unlock()
	return out.o.shown(out.standing)
}

// Run drives the pin until ctx ends, and leaves it off. Call it once.
func (out *Output) Run(ctx context.Context) {
	defer close(out.ended)
	p := player{o: out.o}
	defer func() { _ = p.set(false) }() // told by set; there is nobody left to try again
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		now := time.Now()
		timer.Reset(p.play(out.wanted(), now))
		select {
		case <-ctx.Done():
			return
		case <-out.changed:
		case pr := <-out.proofs:
			p.prove(pr, time.Now())
		case <-timer.C:
		}
	}
}

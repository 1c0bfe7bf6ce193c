package cutout

import (
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"
)

// Options say what is cut and by what.
type Options struct {
	Bath   string
	Output Output
	// Was is what the record says cut the heat and was not reset since. A restart
	// of the daemon is no reset.
	Was Trip
}

// Cutout is the cut-out of one bath.
//
// It calls nobody back and writes no log, so that nothing outside can hold it up:
// whoever polls the bath asks with Changes and Fault what there is to record.
type Cutout struct {
	o       Options
	begun   time.Time
	changed chan struct{} // room for one: there is something to do

	mu      sync.Mutex
	state   State
	verdict Verdict
	changes []Change // not asked for yet
	fault   *OutputError
}

// New checks o. The heat is off until Run is on and the first poll was good.
func New(o Options) (*Cutout, error) {
	switch {
	case o.Bath == "":
		return nil, errors.New("make cut-out: Bath is missing")
	case o.Output == nil:
		return nil, fmt.Errorf("make cut-out of %q: Output is missing", o.Bath)
	}
	c := &Cutout{o: o, begun: time.Now(), changed: make(chan struct{}, 1), state: State{Trip: o.Was}}
	_, c.verdict = Decide(c.state, Input{})
	return c, nil
}

// Bath is the bath whose heat it cuts.
func (c *Cutout) Bath() string { return c.o.Bath }

// Poll tells what a poll of the bath said, and returns the verdict. It never
// waits. Call it only for polls that count: what is not in the record does not.
func (c *Cutout) Poll(p Poll) Verdict { return c.take(Input{What: Polled, Poll: p}) }

// Verdict says whether the heat may be on now, and why.
func (c *Cutout) Verdict() Verdict { return c.take(Input{}) }

// Tripped returns what cut the heat and was not reset.
func (c *Cutout) Tripped() Trip {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.state.Trip
}

// Reset gives the heat back after an alarm cut it. It is refused while an alarm
// still stands or cannot be seen; the error says what to do first.
func (c *Cutout) Reset(who string) error {
	if v := c.take(Input{What: Reset, Who: who}); v.Refused != "" {
		return fmt.Errorf("reset the cut-out of %q: %s (%s)", c.o.Bath, v.Refused, Caution)
	}
	return nil
}

// take decides, and wakes Run if the verdict is another one.
func (c *Cutout) take(in Input) Verdict {
	c.mu.Lock()
	defer c.mu.Unlock()
	in.At = c.now()
	was := c.verdict
	c.state, c.verdict = Decide(c.state, in)
	if was.Allow != c.verdict.Allow || was.Why != c.verdict.Why {
		c.note(in)
	}
	return c.verdict
}

// note keeps a change to be asked for, and wakes Run.
func (c *Cutout) note(in Input) {
	change := Change{Bath: c.o.Bath, Allow: c.verdict.Allow, Why: c.verdict.Why, Trip: c.state.Trip}
	if in.What == Reset && c.verdict.Refused == "" {
		change.Who = in.Who
	}
	if len(c.changes) == mostChanges {
		c.changes = slices.Delete(c.changes, 0, 1)
	}
	c.changes = append(c.changes, change)
	select {
	case c.changed <- struct{}{}:
	default: // one is waiting already
	}
}

// now is the time since New, on the monotonic clock.
func (c *Cutout) now() time.Duration { return time.Since(c.begun) }

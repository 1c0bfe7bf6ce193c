package cutout

import (
	"context"
	"time"
)

// Run drives the output until ctx ends, and leaves the heat off: also if it
// panics. It is alone with its output, so that nothing that hangs elsewhere keeps
// the heat on once the last poll is old. Call it once.
func (c *Cutout) Run(ctx context.Context) {
	defer func() {
		c.take(Input{What: End})
		c.drive()
	}()
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		timer.Reset(c.drive())
		select {
		case <-ctx.Done():
			return
		case <-c.changed:
		case <-timer.C:
		}
	}
}

// drive asks for the verdict anew, at every edge of a pulse too, makes the output
// so, and returns when to do it again.
func (c *Cutout) drive() time.Duration {
	v := c.Verdict()
	again, err := c.o.Output.drive(v.Allow, c.now())
	c.failed(v.Allow, err)
	if err != nil {
		again = min(again, retry)
	}
	if v.Holds > 0 {
		again = min(again, v.Holds)
	}
	return again
}

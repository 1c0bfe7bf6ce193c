package cutout

import "fmt"

// mostChanges are kept for somebody to ask; of more, the newest.
const mostChanges = 64

// Change is a verdict that differs from the one before.
type Change struct {
	Bath  string
	Allow bool
	Why   string
	Trip  Trip   // to be given as Options.Was after a restart
	Who   string // who reset it, if that was the cause
}

// String is the change as people should read it.
func (c Change) String() string {
	by := ""
	if c.Who != "" {
		by = ", reset by " + c.Who
	}
	return fmt.Sprintf("%s%s: %s", c.Bath, by, Verdict{Allow: c.Allow, Why: c.Why})
}

// Changes returns what changed since it was asked before, in order, for record
// and log. The output does not wait for it: the heat is cut before it is told.
func (c *Cutout) Changes() []Change {
	c.mu.Lock()
	defer c.mu.Unlock()
	changes := c.changes
	c.changes = nil
	return changes
}

// Fault is that the output could not be switched; nil while it can. It is an
// *OutputError, the same one through one outage unless that grows worse.
func (c *Cutout) Fault() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.fault == nil {
		return nil // and not an interface that holds a nil
	}
	return c.fault
}

// OutputError is an output that could not be switched. It is tried again.
type OutputError struct {
	Bath   string
	Output string
	Allow  bool // what it should have been told; false: the heat may still be on
	Err    error
}

func (e *OutputError) Error() string {
	if e.Allow {
		return fmt.Sprintf("allow the heat of %q by %s: %v (%s)", e.Bath, e.Output, e.Err, Caution)
	}
	return fmt.Sprintf("cut the heat of %q by %s: %v; turn it off by hand (%s)", e.Bath, e.Output, e.Err, Caution)
}

// Unwrap returns the cause.
func (e *OutputError) Unwrap() error { return e.Err }

// failed keeps the outcome of driving the output. An outage is one fault, until
// it keeps the heat from being cut, which is another.
func (c *Cutout) failed(allow bool, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if err == nil {
		c.fault = nil
		return
	}
	if c.fault != nil && (!c.fault.Allow || allow) {
		return
	}
	c.fault = &OutputError{Bath: c.o.Bath, Output: c.o.Output.String(), Allow: allow, Err: err}
}

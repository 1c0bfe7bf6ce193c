package trace

import "fmt"

// Error says where in a trace something does not fit, and what.
type Error struct {
	Line   int    // from 1
	Column string // name of the column; empty if it is the line as a whole
	Err    error
}

func (e *Error) Error() string {
	if e.Column == "" {
		return fmt.Sprintf("line %d: %v", e.Line, e.Err)
	}
	return fmt.Sprintf("line %d, column %s: %v", e.Line, e.Column, e.Err)
}

func (e *Error) Unwrap() error { return e.Err }

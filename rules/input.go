package rules

import (
	"time"

	"bainward/sensors"
)

// InputKind tells which part of an Input counts.
type InputKind uint8

// The kinds of input. There are no others: what is not an input did not happen.
const (
	FrameInput InputKind = iota
	EventInput
	RestartInput
)

// Input is one thing that happened, with the monotonic offset at which it did.
// Offsets never go back.
type Input struct {
	Kind  InputKind
	At    time.Duration
	Frame sensors.Frame // FrameInput; Frame.At equals At
	Event Event         // EventInput
	// GapKnown, of a RestartInput: the offsets before and after the restart
	// stand on one clock (the machine itself stayed up). If not, no hold is
	// counted across the gap.
	GapKnown bool
}

// OfFrame returns the input that carries f.
func OfFrame(f sensors.Frame) Input { return Input{Kind: FrameInput, At: f.At, Frame: f} }

// OfEvent returns the input that says e happened at at.
func OfEvent(at time.Duration, e Event) Input { return Input{Kind: EventInput, At: at, Event: e} }

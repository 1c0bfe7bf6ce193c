package sensors

import (
	"context"
	"time"
)

// Role is what a probe is for.
type Role uint8

// The roles of a probe in a bath.
const (
	Oil Role = iota
	Bath
	Room
	RoleCount
)

func (r Role) String() string {
	switch r {
	case Oil:
		return "oil"
	case Bath:
		return "bath"
	case Room:
		return "room"
	}
	return "unknown role"
}

// Frame is everything one bath's probes said at one instant. A probe that is
// missing or faulty is a Reading with a Fault, never a frame left out.
type Frame struct {
	// At is the monotonic offset since the record began. Holds, delays and
	// order come from it alone.
	At time.Duration
	// Wall is UTC, for people. It may jump when a Pi without a clock chip
	// learns the time; nothing is counted with it.
	Wall     time.Time
	Probes   [RoleCount]Reading
	Pressure Pressure
}

// Sample is one probe's answer with what is needed to judge the chip.
type Sample struct {
	Address    Address
	Reading    Reading
	Scratchpad [9]byte // as read; zero if nothing was read
	Parasite   bool    // powered through the data wire
	PowerKnown bool    // Parasite was asked for and answered
}

// Source reads probes. A fault of one probe is a Reading with a Fault in its
// Sample. An error means that the whole wire could not be read; the samples
// returned with it still hold one entry an address, each with its Fault.
//
// Read converts on all probes at once, then reads each: its duration is one
// conversion plus the reads, whatever the number of probes. It gives up when
// ctx ends.
type Source interface {
	// Probes searches the wires and returns the addresses found, in order.
	Probes(ctx context.Context) ([]Address, error)
	// Read fills one Sample for each address asked for, in the same order.
	Read(ctx context.Context, addresses []Address) ([]Sample, error)
	Close() error
}

// Barometer reads the air pressure. A failed reading is a Pressure with a
// Fault, never an error.
type Barometer interface {
	Pressure(ctx context.Context) Pressure
	Close() error
}

package verify

import (
	"errors"
	"fmt"
	"math"

	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

// block is what the line of a block of readings says. Its lists are used again
// for the next block.
type block struct {
	leaf           int64
	bath           []byte
	seq, at, ahead []int64
	step           int64
	values         [sensors.RoleCount + 1][]value // of the roles, then the pressure
}

// value is what one probe said once: in units of the block's step, or a fault.
type value struct {
	n     int64
	fault sensors.Fault
}

const pressure = int(sensors.RoleCount)

// What no real block goes beyond; it keeps sums from overflowing.
const (
	maxBlock  = 1 << 18 // bytes of the line
	maxPack   = 1 << 22 // bytes of the lines in a pack
	maxNumber = 1 << 48 // the year 9999 in ms, and some
	// A temperature further from 0 °C than this, in sensors.Grid, is none.
	maxSteps = 1_000_000_000
)

var errTail = errors.New("something follows the line")

// read takes the line of a block apart. It takes what the format says and nothing
// else: no spaces, no other order, no number with a leading zero.
func (b *block) read(line []byte, faults map[string]sensors.Fault) error {
	s := scanner{text: line}
	s.want(`{"leaf":`)
	b.leaf = s.number()
	s.want(`,"readings":`)
	b.bath = s.quoted()
	s.want(`,"seq":`)
	b.seq = s.differences(b.seq[:0])
	s.want(`,"at_ms":`)
	b.at = s.differences(b.at[:0])
	s.want(`,"ahead_ms":`)
	b.ahead = s.differences(b.ahead[:0])
	s.want(`,"step":`)
	b.step = s.number()
	for i, name := range [...]string{`,"oil":`, `,"bath":`, `,"room":`, `,"pressure":`} {
		s.want(name)
		b.values[i] = s.values(b.values[i][:0], len(b.seq), faults)
	}
	s.want(`}`)
	if s.err == nil && len(s.text) != s.at {
		s.err = errTail
	}
	if s.err != nil {
		return fmt.Errorf("at byte %d of its line: %w", s.at, s.err)
	}
	return b.check()
}

func (b *block) check() error {
	n := len(b.seq)
	if n == 0 || len(b.at) != n || len(b.ahead) != n {
		return fmt.Errorf("it has %d numbers, %d offsets and %d wall times", n, len(b.at), len(b.ahead))
	}
	switch b.step {
	case 1, 5, 25, 125, 625:
	default:
		return fmt.Errorf("its step is %d: want 625, 125, 25, 5 or 1", b.step)
	}
	for role := range b.values {
		if got := len(b.values[role]); got != n {
			return fmt.Errorf("it has %d numbers and %d values of %s", n, got, listName(role))
		}
		for _, v := range b.values[role] {
			if role == pressure && int64(int32(v.n)) != v.n || role != pressure && (v.n > maxSteps/b.step || v.n < -maxSteps/b.step) {
				return fmt.Errorf("%d is no value of %s", v.n, listName(role))
			}
		}
	}
	return nil
}

func listName(list int) string {
	if list == pressure {
		return "pressure"
	}
	return sensors.Role(list).String()
}

// frame puts reading i together. The time of day is for people and left out: no
// rule asks for it.
func (b *block) frame(i int, f *sensors.Frame) {
	for role := range f.Probes {
		v := b.values[role][i]
		f.Probes[role] = readingOf(v.n*b.step, v.fault)
	}
	v := b.values[pressure][i]
	f.Pressure = sensors.Pressure{Pascal: int32(v.n), Fault: v.fault}
}

func readingOf(steps int64, fault sensors.Fault) sensors.Reading {
	if fault != sensors.NoFault {
		return sensors.Failed(fault)
	}
	return sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(steps)*sensors.Grid}
}

// faultWords are the words that stand for a fault. A probe that is not fitted is
// null.
func faultWords() map[string]sensors.Fault {
	words := map[string]sensors.Fault{}
	none := sensors.Fault(math.MaxUint8).Code()
	for i := range math.MaxUint8 {
		f := sensors.Fault(i)
		if w := f.Code(); w != "" && w != none && f != sensors.NotFitted {
			words[w] = f
		}
	}
	return words
}

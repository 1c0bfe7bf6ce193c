package record

import (
	"fmt"
	"strconv"
	"time"

	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

// blockSpan is how much time the readings of one block span: less than this. So
// what a checkpoint holds is at most a minute away from what was read.
const blockSpan = time.Minute

// blockSteps are the units in which a block may count temperatures, in
// sensors.Grid: each divides the one before. 625 is a step of a DS18B20.
func blockSteps() [5]int64 { return [5]int64{625, 125, 25, 5, 1} }

// temperatureLists names the lists of a block's temperatures, by role.
func temperatureLists() [sensors.RoleCount]string {
	return [sensors.RoleCount]string{sensors.Oil: "oil", sensors.Bath: "bath", sensors.Room: "room"}
}

// appendBlockLine appends the line of a block: readings of one bath, at least
// one, in order. It is kept as differences, which are short and much alike, so
// that it packs well and can still be read, and undone, by eye.
func appendBlockLine(line []byte, leaf int64, readings []Entry) ([]byte, error) {
	line = append(line, `{"leaf":`...)
	line = strconv.AppendInt(line, leaf, 10)
	line = append(line, `,"readings":`...)
	line = appendText(line, readings[0].Bath)
	line = appendDifferences(line, "seq", readings, func(e *Entry) int64 { return e.Seq })
	line = appendDifferences(line, "at_ms", readings, func(e *Entry) int64 { return e.At.Milliseconds() })
	line = appendDifferences(line, "ahead_ms", readings, aheadOf)
	step := stepOf(readings)
	line = append(line, `,"step":`...)
	line = strconv.AppendInt(line, step, 10)
	var err error
	for role, name := range temperatureLists() {
		line, err = appendValues(line, name, readings, func(e *Entry) (int64, sensors.Fault) {
			r := e.Frame.Probes[role]
			return gridSteps(r.Temperature) / step, r.Fault
		})
		if err != nil {
			return nil, err
		}
	}
	line, err = appendValues(line, "pressure", readings, func(e *Entry) (int64, sensors.Fault) {
		return int64(e.Frame.Pressure.Pascal), e.Frame.Pressure.Fault
	})
	return append(line, '}'), err
}

// aheadOf returns by how many milliseconds the wall clock is ahead of the offset.
func aheadOf(e *Entry) int64 { return e.Wall.UnixMilli() - e.At.Milliseconds() }

// gridSteps returns a temperature in steps of sensors.Grid from 0 °C.
func gridSteps(t physic.Temperature) int64 { return int64((t - physic.ZeroCelsius) / sensors.Grid) }

// stepOf returns the greatest unit that divides every temperature.
func stepOf(readings []Entry) int64 {
	units := blockSteps()
	at := 0
	for i := range readings {
		for _, r := range readings[i].Frame.Probes {
			for r.OK() && gridSteps(r.Temperature)%units[at] != 0 {
				at++ // the last is 1, which divides everything
			}
		}
	}
	return units[at]
}

func appendName(line []byte, name string) []byte {
	line = append(line, ',', '"')
	line = append(line, name...)
	return append(line, '"', ':')
}

func appendDifferences(line []byte, name string, readings []Entry, value func(*Entry) int64) []byte {
	line = appendName(line, name)
	before := int64(0)
	for i := range readings {
		line = append(line, separator(i))
		v := value(&readings[i])
		line = strconv.AppendInt(line, v-before, 10)
		before = v
	}
	return append(line, ']')
}

// appendValues appends what one probe said: a number is the difference to the
// last number, a word a fault, null a probe that is not fitted. If it never is,
// null stands for the whole list.
func appendValues(line []byte, name string, readings []Entry, value func(*Entry) (int64, sensors.Fault)) ([]byte, error) {
	line = appendName(line, name)
	start, before, fitted := len(line), int64(0), false
	for i := range readings {
		line = append(line, separator(i))
		v, fault := value(&readings[i])
		switch fault {
		case sensors.NoFault:
			line = strconv.AppendInt(line, v-before, 10)
			before, fitted = v, true
		case sensors.NotFitted:
			line = append(line, "null"...)
		default:
			if _, known := parseFault(fault.Code()); !known {
				return nil, fmt.Errorf("%s of entry %d: fault %d has no word", name, readings[i].Seq, fault)
			}
			line = appendText(line, fault.Code())
			fitted = true
		}
	}
	if !fitted {
		return append(line[:start], "null"...), nil
	}
	return append(line, ']'), nil
}

func separator(i int) byte {
	if i == 0 {
		return '['
	}
	return ','
}

package record

import (
	"fmt"

	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

// columns are what a reading's row holds of a frame: oil, bath, room, pressure.
// Each is an integer (0.0001 °C, or Pa), a fault's word, or nil for what is not
// fitted.
type columns [sensors.RoleCount + 1]any

const pressureColumn = int(sensors.RoleCount)

// columnsOf returns the columns of a rounded frame. It fails if a fault has no
// word.
func columnsOf(f sensors.Frame) (c columns, err error) {
	for role, r := range f.Probes {
		steps := int64((r.Temperature - physic.ZeroCelsius) / sensors.Grid)
		if c[role], err = columnOf(steps, r.Fault); err != nil {
			return c, fmt.Errorf("%s probe: %w", sensors.Role(role), err)
		}
	}
	if c[pressureColumn], err = columnOf(int64(f.Pressure.Pascal), f.Pressure.Fault); err != nil {
		return c, fmt.Errorf("pressure: %w", err)
	}
	return c, nil
}

func columnOf(value int64, fault sensors.Fault) (any, error) {
	switch fault {
	case sensors.NoFault:
		return value, nil
	case sensors.NotFitted:
		return nil, nil
	}
	word := fault.Code()
	if word == noFaultWord() {
		return nil, fmt.Errorf("fault %d has no word", fault)
	}
	return word, nil
}

// probes puts the columns read from the file back into a frame.
func (c columns) probes(f *sensors.Frame) error {
	for role := range f.Probes {
		value, fault, err := valueOf(c[role])
		if err != nil {
			return fmt.Errorf("%s probe: %w", sensors.Role(role), err)
		}
		if fault != sensors.NoFault {
			f.Probes[role] = sensors.Failed(fault)
			continue
		}
		if value < -maxSteps || value > maxSteps {
			return fmt.Errorf("%s probe: %d is no temperature", sensors.Role(role), value)
		}
		f.Probes[role] = sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(value)*sensors.Grid}
	}
	value, fault, err := valueOf(c[pressureColumn])
	if err != nil {
		return fmt.Errorf("pressure: %w", err)
	}
	f.Pressure = sensors.Pressure{Pascal: int32(value), Fault: fault}
	if int64(f.Pressure.Pascal) != value {
		return fmt.Errorf("pressure: %d Pa is out of range", value)
	}
	return nil
}

// maxSteps is the hottest temperature that physic can hold, less 0 °C.
const maxSteps = int64((1<<63 - 1 - physic.ZeroCelsius) / sensors.Grid)

func valueOf(column any) (int64, sensors.Fault, error) {
	switch v := column.(type) {
	case nil:
		return 0, sensors.NotFitted, nil
	case int64:
		return v, sensors.NoFault, nil
	case string:
		fault, ok := parseFault(v)
		if !ok {
			return 0, 0, fmt.Errorf("unknown fault %q", v)
		}
		return 0, fault, nil
	}
	return 0, 0, fmt.Errorf("found %v, want a whole number or a fault", column)
}

// noFaultWord is what sensors.Fault.Code says of a number that is no fault.
func noFaultWord() string { return sensors.Fault(255).Code() }

func parseFault(word string) (sensors.Fault, bool) {
	if word == "" || word == noFaultWord() {
		return 0, false
	}
	for i := range 256 {
		if f := sensors.Fault(i); f.Code() == word {
			return f, true
		}
	}
	return 0, false
}

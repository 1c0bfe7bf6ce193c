package verify

import (
	"fmt"
	"strconv"

	"bainward/daemon/record"
	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

// cellOf is a value of a reading as the row of an open one has it.
func cellOf(e *record.Entry, list int) any {
	n, fault := int64(e.Frame.Pressure.Pascal), e.Frame.Pressure.Fault
	if list != pressure {
		r := e.Frame.Probes[list]
		n, fault = int64((r.Temperature-physic.ZeroCelsius)/sensors.Grid), r.Fault
	}
	switch fault {
	case sensors.NoFault:
		return n
	case sensors.NotFitted:
		return nil
	}
	return fault.Code()
}

func differences(line []byte, word string, open []record.Entry, of func(*record.Entry) int64) []byte {
	line = fmt.Appendf(line, `,"%s":[`, word)
	before := int64(0)
	for i := range open {
		n := of(&open[i])
		line = append(strconv.AppendInt(line, n-before, 10), ',')
		before = n
	}
	line[len(line)-1] = ']'
	return line
}

func cells(line []byte, word string, open []record.Entry, list int, by int64) []byte {
	start := len(line)
	line = fmt.Appendf(line, `,"%s":[`, word)
	before, fitted := int64(0), false
	for i := range open {
		switch c := cellOf(&open[i], list).(type) {
		case int64:
			line = strconv.AppendInt(line, c/by-before, 10)
			before, fitted = c/by, true
		case string:
			line = append(append(append(line, '"'), c...), '"')
			fitted = true
		default:
			line = append(line, "null"...)
		}
		line = append(line, ',')
	}
	if !fitted {
		return fmt.Appendf(line[:start], `,"%s":null`, word)
	}
	line[len(line)-1] = ']'
	return line
}

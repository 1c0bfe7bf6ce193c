package trace_test

import (
	"errors"
	"io"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
	"bainward/sensors"
)

func read(t *testing.T, text string) []trace.Row {
	t.Helper()
	rows, err := trace.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func TestARowHoldsWhatTheLineSays(t *testing.T) {
	rows := read(t, `time,oil_c,bath_c,room_c,pressure_hpa,event
2026-03-01T09:00:00Z,19.8125,18.5000,19.0,1009.3,fill 1.45 kg; charge

2026-03-01T10:00:01.5+01:00,-0.0625,,,1009.31,
`)
	start := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	want := []trace.Row{
		{
			Line: 2, Wall: start,
			Probes:   [sensors.RoleCount]sensors.Reading{sensors.AtCelsius(19.8125), sensors.AtCelsius(18.5), sensors.AtCelsius(19)},
			Pressure: sensors.Pressure{Pascal: 100930},
			Events:   []rules.Event{{Kind: rules.Fill, Quantity: rules.Quantity{Milli: 1450, Unit: rules.Kilogram}}, {Kind: rules.Charge}},
		},
		{
			Line: 4, Wall: start.Add(1500 * time.Millisecond), At: 1500 * time.Millisecond,
			Probes: [sensors.RoleCount]sensors.Reading{
				sensors.AtCelsius(-0.0625), sensors.Failed(sensors.Absent), sensors.Failed(sensors.Absent),
			},
			Pressure: sensors.Pressure{Pascal: 100931},
		},
	}
	if !reflect.DeepEqual(rows, want) {
		t.Errorf("got\n%+v\nwant\n%+v", rows, want)
	}
	frame := rows[1].Frame()
	if frame.At != rows[1].At || frame.Wall != rows[1].Wall || frame.Probes != rows[1].Probes || frame.Pressure != rows[1].Pressure {
		t.Errorf("the frame %+v is not that of the row %+v", frame, rows[1])
	}
}

func TestAMissingColumnIsAProbeThatIsNotFitted(t *testing.T) {
	row := read(t, "bath_c,time,oil_c\n,2026-03-01T09:00:00Z,19.8125\n")[0]
	if got := row.Probes[sensors.Bath].Fault; got != sensors.Absent {
		t.Errorf("an empty cell is %v, want %v", got, sensors.Absent)
	}
	if got := row.Probes[sensors.Room].Fault; got != sensors.NotFitted {
		t.Errorf("no room column is %v, want %v", got, sensors.NotFitted)
	}
	if got := row.Pressure.Fault; got != sensors.NotFitted {
		t.Errorf("no pressure column is %v, want %v", got, sensors.NotFitted)
	}
}

func TestTimesOfRFC3339(t *testing.T) {
	// The examples of RFC 3339 section 5.8 (from memory), but for the leap second.
	for text, want := range map[string]time.Time{
		"1985-04-12T23:20:50.52Z":      time.Date(1985, 4, 12, 23, 20, 50, 52e7, time.UTC),
		"1996-12-19T16:39:57-08:00":    time.Date(1996, 12, 20, 0, 39, 57, 0, time.UTC),
		"1937-01-01T12:00:27.87+00:20": time.Date(1937, 1, 1, 11, 40, 27, 87e7, time.UTC),
		"2026-03-01t09:00:00z":         time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC),
		"2026-03-01T09:00:00-00:00":    time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC),
	} {
		row := read(t, "time,oil_c,bath_c\n"+text+",,\n")[0]
		if !row.Wall.Equal(want) || row.Wall.Location() != time.UTC {
			t.Errorf("%s is %v, want %v", text, row.Wall, want)
		}
	}
}

func TestQuotedCellsOfRFC4180(t *testing.T) {
	rows := read(t, "time,oil_c,bath_c,event\r\n"+
		"\"2026-03-01T09:00:00Z\",\"19.8125\",18.5000,\"note a, b\"\r\n"+
		"2026-03-01T09:00:01Z,19.8125,18.5000,\"note says \"\"good\"\"\"\r\n"+
		"2026-03-01T09:00:02Z,19.8125,18.5000,\"note two\r\nlines\"\r\n")
	for i, want := range []string{"a, b", `says "good"`, "two\nlines"} {
		if got := rows[i].Events[0].Text; got != want {
			t.Errorf("row %d: note %q, want %q", i, got, want)
		}
	}
}

func TestAnEventMayStandOnItsOwnLine(t *testing.T) {
	rows := read(t, `time,oil_c,bath_c,pressure_hpa,event
2026-03-01T09:00:00Z,19.8125,18.5000,1009.30,
2026-03-01T09:00:00Z,,,,light
2026-03-01T09:00:01Z,,,,
2026-03-01T09:00:02Z,,18.5000,,light
2026-03-01T09:00:03Z,,,1009.30,light
`)
	for i, want := range []bool{false, true, false, false, false} {
		if got := rows[i].EventOnly(); got != want {
			t.Errorf("line %d: event only = %v, want %v", rows[i].Line, got, want)
		}
	}
	if rows[1].At != 0 {
		t.Errorf("the event is at %v, want the instant of the row before", rows[1].At)
	}
}

func TestAnErrorCanBeTakenApart(t *testing.T) {
	_, err := trace.Read(strings.NewReader("time,oil_c,bath_c\n2026-03-01T09:00:00Z,hot,\n"))
	var bad *trace.Error
	if !errors.As(err, &bad) || bad.Line != 2 || bad.Column != "oil_c" || errors.Unwrap(err) == nil {
		t.Errorf("error %#v, want line 2, column oil_c and a cause", err)
	}
}

func TestAFailingDiskIsNotTheEndOfTheTrace(t *testing.T) {
	broken := errors.New("broken")
	for name, r := range map[string]io.Reader{
		"at once":        iotest.ErrReader(broken),
		"after a header": io.MultiReader(strings.NewReader("time,oil_c,bath_c\n"), iotest.ErrReader(broken)),
		"within a row":   io.MultiReader(strings.NewReader("time,oil_c,bath_c\n2026-03-01T09:00:00Z,19.8"), iotest.ErrReader(broken)),
	} {
		rows, err := trace.Read(r)
		if !errors.Is(err, broken) || rows != nil {
			t.Errorf("%s: %d rows and error %v, want none and %v", name, len(rows), err, broken)
		}
	}
}

func TestBytesMayComeOneByOne(t *testing.T) {
	text := "\xef\xbb\xbftime,oil_c,bath_c\n2026-03-01T09:00:00Z,19.8125,18.5000\n"
	rows, err := trace.Read(iotest.OneByteReader(strings.NewReader(text)))
	if err != nil || len(rows) != 1 {
		t.Errorf("%d rows, error %v, want one row", len(rows), err)
	}
}

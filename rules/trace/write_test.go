package trace_test

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

var nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// row returns a row without room probe, barometer and events.
func row(wall time.Time, oil, bath sensors.Reading) trace.Row {
	return trace.Row{
		Wall:     wall,
		Probes:   [sensors.RoleCount]sensors.Reading{oil, bath, sensors.Failed(sensors.NotFitted)},
		Pressure: sensors.Pressure{Fault: sensors.NotFitted},
	}
}

func written(t *testing.T, rows ...trace.Row) string {
	t.Helper()
	var b bytes.Buffer
	if err := trace.Write(&b, rows); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteLeavesOutColumnsThatNothingFills(t *testing.T) {
	plain := row(nine, sensors.AtCelsius(19.8125), sensors.AtCelsius(18.5))
	if got, want := written(t, plain), "time,oil_c,bath_c\n2026-03-01T09:00:00Z,19.8125,18.5000\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	full := row(nine.Add(time.Second), sensors.AtCelsius(-0.0625), sensors.AtCelsius(0))
	full.Probes[sensors.Room] = sensors.AtCelsius(19)
	full.Pressure = sensors.Pressure{Pascal: 100930}
	full.Events = []rules.Event{{Kind: rules.Light}, {Kind: rules.Note, Text: `a, "b"`}}
	want := "time,oil_c,bath_c,room_c,pressure_hpa,event\n" +
		"2026-03-01T09:00:00Z,19.8125,18.5000,,,\n" +
		"2026-03-01T09:00:01Z,-0.0625,0.0000,19.0000,1009.30,\"light; note a, \"\"b\"\"\"\n"
	if got := written(t, plain, full); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	if got, want := written(t), "time,oil_c,bath_c\n"; got != want {
		t.Errorf("no rows: got %q, want %q", got, want)
	}
}

func TestEveryFaultIsAnEmptyCell(t *testing.T) {
	for _, f := range []sensors.Fault{sensors.NotFitted, sensors.Absent, sensors.BadCRC, sensors.PowerOn, sensors.Jumped} {
		got := written(t, row(nine, sensors.Failed(f), sensors.AtCelsius(18.5)))
		if want := "time,oil_c,bath_c\n2026-03-01T09:00:00Z,,18.5000\n"; got != want {
			t.Errorf("%v: got\n%swant\n%s", f, got, want)
		}
	}
}

func TestEveryStepOfTheChipIsExact(t *testing.T) {
	var rows []trace.Row
	for raw := -55 * 16; raw <= 125*16; raw++ {
		c := sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(raw)*physic.Kelvin/16}
		rows = append(rows, row(nine, c, c))
	}
	back := read(t, written(t, rows...))
	for i := range rows {
		if back[i].Probes != rows[i].Probes {
			t.Fatalf("step %d: %v came back as %v", i, rows[i].Probes[0].Temperature, back[i].Probes[0].Temperature)
		}
	}
}

func TestATemperatureOffTheGridIsRounded(t *testing.T) {
	between := sensors.Reading{Temperature: physic.ZeroCelsius + 19_812_460*physic.MicroKelvin}
	if got, want := written(t, row(nine, between, between)), "time,oil_c,bath_c\n2026-03-01T09:00:00Z,19.8125,19.8125\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestWriteRefusesWhatReadWouldNotGiveBack(t *testing.T) {
	good := row(nine, sensors.AtCelsius(20), sensors.AtCelsius(20))
	with := func(change func(r *trace.Row)) trace.Row {
		r := good
		change(&r)
		return r
	}
	note := func(text string) trace.Row {
		return with(func(r *trace.Row) { r.Events = []rules.Event{{Kind: rules.Note, Text: text}} })
	}
	for want, bad := range map[string]trace.Row{
		"row 2, column time: 2026-03-01T08:59:59Z goes back":    with(func(r *trace.Row) { r.Wall = nine.Add(-time.Second) }),
		"row 2, column time: 2046-03-01T09:00:00Z is more than": with(func(r *trace.Row) { r.Wall = nine.AddDate(20, 0, 0) }),
		"row 2, column time: 12026-03-01":                       with(func(r *trace.Row) { r.Wall = nine.AddDate(10000, 0, 0) }),
		"row 2, column oil_c: 500":                              with(func(r *trace.Row) { r.Probes[sensors.Oil] = sensors.AtCelsius(500) }),
		"row 2, column bath_c: -273.150°C is out of range":      with(func(r *trace.Row) { r.Probes[sensors.Bath] = sensors.Reading{} }),
		"row 2, column pressure_hpa: 1000 Pa is out of range":   with(func(r *trace.Row) { r.Pressure = sensors.Pressure{Pascal: 1000} }),
		`the event "note a; light" would read back as another`:  note("a; light"),
		`unknown event "b"`:                                     note("a; b"),
		`the event "note  a" would read back as another`:        note(" a"),
		"a note needs its text":                                 note(""),
		"control character U+000D":                              note("a\r\nb"),
		"is not UTF-8 text":                                     note("gr\xfcn"),
		`unknown event "unknown-event"`:                         with(func(r *trace.Row) { r.Events = []rules.Event{{}} }),
	} {
		var b bytes.Buffer
		err := trace.Write(&b, []trace.Row{good, bad})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one that says %s", err, want)
		}
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes were written before the error", want, b.Len())
		}
	}
}

func TestWriteTellsOfAFailingDisk(t *testing.T) {
	broken := errors.New("broken")
	if err := trace.Write(failing{broken}, []trace.Row{row(nine, sensors.AtCelsius(20), sensors.AtCelsius(20))}); !errors.Is(err, broken) {
		t.Errorf("error %v, want %v", err, broken)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func ExampleWrite() {
	oil, bath := sensors.AtCelsius(90.125), sensors.AtCelsius(98.6875)
	start := time.Date(2026, 3, 1, 9, 50, 0, 0, time.UTC)
	rows := []trace.Row{row(start, oil, bath), row(start.Add(time.Second), sensors.Failed(sensors.Absent), bath)}
	rows[0].Events, _ = rules.ParseEvents("top-up 350 ml")
	if err := trace.Write(os.Stdout, rows); err != nil {
		panic(err)
	}
	// Output:
	// time,oil_c,bath_c,event
	// 2026-03-01T09:50:00Z,90.1250,98.6875,top-up 350 ml
	// 2026-03-01T09:50:01Z,,98.6875,
}

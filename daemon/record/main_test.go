package record

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"bainward/sensors"
)

// childOf names, in the environment of a test binary that another test started,
// what it is to do instead of testing.
const childOf = "BAINWARD_RECORD_TEST_CHILD"

func TestMain(m *testing.M) {
	var err error
	switch os.Getenv(childOf) {
	case "":
		os.Exit(m.Run())
	case "append":
		err = appendForEver(os.Args[1])
	case "full":
		err = appendUntilFull(os.Args[1])
	case "nobody":
		err = openAsNobody(os.Args[1:])
	case "hold":
		err = holdOpen(os.Args[1])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// nine is the wall clock at offset zero in these tests.
var nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// frameAt is a frame of a simmering bath, a little different every second.
func frameAt(at time.Duration) sensors.Frame {
	n := int64(at / time.Second)
	f := sensors.Frame{At: at, Wall: nine.Add(at), Pressure: sensors.Pressure{Pascal: 100930 + int32(n%7)}}
	f.Probes[sensors.Oil] = sensors.AtCelsius(90 + float64(n%16)/16)
	f.Probes[sensors.Bath] = sensors.AtCelsius(98 + float64(n%5)/16)
	f.Probes[sensors.Room] = sensors.Failed(sensors.NotFitted)
	return Rounded(f)
}

// pollOf is what a poll of two baths records: always as many entries.
func pollOf(at time.Duration) []Entry {
	return []Entry{OfFrame("north", frameAt(at)), OfFrame("south", frameAt(at)), must(Of(at, nine.Add(at), "south", PhaseOf(0, 1)))}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func openIn(t testing.TB, dir string) *Record {
	t.Helper()
	r, err := Open(context.Background(), Options{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	})
	return r
}

func appendTo(t testing.TB, r *Record, entries ...Entry) []Entry {
	t.Helper()
	numbered, err := r.Append(context.Background(), entries)
	if err != nil {
		t.Fatal(err)
	}
	return numbered
}

// all reads the record from its first entry, and so finds any hole.
func all(t testing.TB, r *Reader) []Entry {
	t.Helper()
	var entries []Entry
	for e, err := range r.Entries(context.Background(), 1, 0) {
		if err != nil {
			t.Fatal(err)
		}
		entries = append(entries, e)
	}
	return entries
}

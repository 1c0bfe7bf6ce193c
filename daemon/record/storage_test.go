package record

import (
	"testing"
	"time"

	"bainward/rules/batch/ledger"
)

func degrees(c float64) *float64 { return &c }

func anHour() Storage {
	return Storage{
		Place: ledger.Fridge, Probe: "28-00000bbb9b13", From: 1000, To: 3_601_000, Count: 58, Measured: 3_480_000,
		Min: degrees(3.9), Max: degrees(6.1), Kinetic: degrees(4.4), Warm: 8, Faults: map[string]int{"crc": 2},
	}
}

// An hour of a place is read back as it was written, under the times of its entry.
func TestAnHourOfAPlaceIsReadBack(t *testing.T) {
	wall := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	e, err := Of(3_601_000*time.Millisecond, wall, "", anHour())
	if err != nil {
		t.Fatal(err)
	}
	got, err := e.Stored()
	want := ledger.Stored{
		Place: ledger.Fridge, From: wall.Add(-time.Hour), To: wall, Measured: 58 * time.Minute,
		KineticC: 4.4, MinC: 3.9, MaxC: 6.1, WarmC: 8,
	}
	if err != nil || got != want {
		t.Errorf("got %+v, %v, want %+v", got, err, want)
	}
}

// What no probe can have measured is not recorded.
func TestAnHourThatCannotBeIsRefused(t *testing.T) {
	for what, spoil := range map[string]func(*Storage){
		"an unknown place":          func(b *Storage) { b.Place = "attic" },
		"no probe":                  func(b *Storage) { b.Probe = "" },
		"backwards":                 func(b *Storage) { b.From = b.To },
		"more than it lasted":       func(b *Storage) { b.Measured = 3_600_001 },
		"readings for no time":      func(b *Storage) { b.Measured = 0 },
		"readings without warmth":   func(b *Storage) { b.Max = nil },
		"warmth without readings":   func(b *Storage) { b.Count, b.Measured = 0, 0 },
		"a mean above the warmest":  func(b *Storage) { b.Kinetic = degrees(6.2) },
		"a mean below the coldest":  func(b *Storage) { b.Kinetic = degrees(3.8) },
		"before the record's begin": func(b *Storage) { b.From = -1 },
	} {
		b := anHour()
		spoil(&b)
		if e, err := Of(time.Hour, time.Unix(0, 0), "", b); err == nil {
			t.Errorf("%s was taken: %s", what, e.Body)
		}
	}
}

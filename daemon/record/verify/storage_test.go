package verify

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"bainward/daemon/record"
)

// hours has a record written of so many hours of a refrigerator; change may alter
// what is about to be written.
func hours(t *testing.T, n int, change func(i int, b *record.Storage)) Report {
	t.Helper()
	pen := newScribe(t, t.TempDir())
	y := newYard(t, pen, "north")
	y.raw("", record.KindKey, "{}")
	y.start("test")
	for i := range n {
		mean := 4 + float64(i%3)
		low, high := mean-0.5, mean+0.5
		b := record.Storage{
			Place: "fridge", Probe: "28-00000bbb9b13", From: y.at.Milliseconds(), To: (y.at + time.Hour).Milliseconds(),
			Count: 60, Measured: time.Hour.Milliseconds(), Min: &low, Max: &high, Kinetic: &mean, Warm: 8,
		}
		y.at += time.Hour
		if change != nil {
			change(i, &b)
		}
		y.raw("", record.KindStorage, string(must(json.Marshal(b))))
		y.write()
	}
	return verified(t, pen.close(), Options{Version: "test", Workers: 1})
}

// Hours one after the other are sound, with a gap between them, too.
func TestHoursOfAPlaceAreSound(t *testing.T) {
	if r := hours(t, 5, nil); !r.Clean {
		t.Errorf("%+v", r.Findings)
	}
	late := func(i int, b *record.Storage) {
		if i == 3 {
			b.From += 1_800_000
			b.Measured = 1_000_000
		}
	}
	if r := hours(t, 5, late); !r.Clean {
		t.Errorf("after a gap: %+v", r.Findings)
	}
}

// Whoever has the key and writes hours that cannot have been is found out.
func TestHoursThatCannotBeAreNamed(t *testing.T) {
	for what, spoil := range map[string]func(*record.Storage){
		"an hour told twice":           func(b *record.Storage) { b.From -= 60_000 },
		"an hour that ends elsewhere":  func(b *record.Storage) { b.To -= 60_000; b.Measured = 60_000 },
		"more measured than it lasted": func(b *record.Storage) { b.Measured++ },
		"a mean that is none":          func(b *record.Storage) { *b.Kinetic = 9 },
		"backwards":                    func(b *record.Storage) { b.From, b.Measured = b.To, 0 },
		"warmth out of nothing":        func(b *record.Storage) { b.Count = 0 },
	} {
		t.Run(what, func(t *testing.T) {
			r := hours(t, 4, func(i int, b *record.Storage) {
				if i == 2 {
					spoil(b)
				}
			})
			i := slices.IndexFunc(r.Findings, func(f Finding) bool { return f.Kind == StoredTime })
			if i < 0 {
				t.Fatalf("found %+v", r.Findings)
			}
			if f := r.Findings[i]; f.Means == "" || f.Found == "" || f.Expected == "" {
				t.Errorf("it says too little: %s", fmt.Sprint(f))
			}
		})
	}
}

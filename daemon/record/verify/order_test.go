package verify

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"bainward/daemon/record"
)

// crooked is a book in which every batch is said to have ended otherwise than it
// did.
type crooked struct{ book }

func (c crooked) Append(entries []record.Entry) []record.Entry {
	for i := range entries {
		if e := &entries[i]; e.Kind == record.KindPhase && string(e.Body) == `{"phase":"abandoned","pass":1}` {
			e.Body = json.RawMessage(`{"phase":"bottled","pass":1}`)
		}
	}
	return c.book.Append(entries)
}

// crookedDays writes a record in which so many batches of each of two baths do not
// follow, which is more than a report lists, and some entries are of kinds that
// nobody knows.
func crookedDays(t *testing.T, batches int) (path string) {
	s := newScribe(t, t.TempDir())
	y := newYard(t, crooked{s}, "north", "south")
	y.start("test")
	for n := range batches {
		y.raw("", record.Kind(fmt.Sprintf("odd-%d", n%4)), `{}`)
		for bath := range y.baths {
			y.did(bath, "fill 1.85 kg; light")
		}
		y.poll(10*time.Second, 2*time.Minute)
		for bath := range y.baths {
			y.did(bath, "abandon")
			y.closeBatch(y.baths[bath])
		}
		y.write()
	}
	return s.close()
}

// What a report says does not depend on how many look into the record at once, nor
// on who of them is the quicker.
func TestTheReportIsTheSameHoweverManyWork(t *testing.T) {
	path := crookedDays(t, 15)
	var first string
	for n := range 12 {
		r := verified(t, path, Options{Version: "test", Workers: 1 + n%4})
		r.Totals.Seconds = 0
		text := string(must(json.Marshal(r)))
		if n == 0 {
			first = text
			if r.More[DoesNotFollow] == 0 || len(r.Notes) < 5 {
				t.Fatalf("want more findings than are listed, and a note of each odd kind: %s", text)
			}
		}
		if text != first {
			t.Fatalf("with %d workers %s\nwith one %s", 1+n%4, text, first)
		}
	}
}

package verify

import (
	"bytes"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"bainward/daemon/record"
)

// aDaysReadings are those of two batches, one reading a second from the light to the
// bottle and a little beyond; the rest of the day the daemon is off. In 3,653 days
// they are 10⁸.
const aDaysReadings = 2 * 13690

var aBatch = []struct {
	does string
	long time.Duration
}{
	{"fill 1.85 kg; charge 220 g; light", time.Hour},
	{"top-up 0.3 kg", 30 * time.Minute},
	{"top-up 0.3 kg", 30 * time.Minute},
	{"top-up 0.3 kg", time.Hour},
	{"strain", 30 * time.Minute},
	{"bottle 640 ml", 18*time.Minute + 10*time.Second},
}

// busy writes the record of a bath that is busy for so many days: two batches a day,
// checkpoints each hour, and a night in which the machine is off.
func busy(t testing.TB, days int) (path string) {
	s := newScribe(t, t.TempDir())
	s.lines = 20 // what the daemon's writer packs together of a lit bath
	d := newDesk(s)
	y := newYard(t, d, "north")
	y.chance = rand.New(rand.NewPCG(1, 2))
	y.raw("", "key", `{"vkey":""}`)
	y.start("test")
	for range days {
		morning := y.at
		for range 2 {
			for _, part := range aBatch {
				y.did(0, part.does)
				y.poll(time.Second, part.long)
				y.checkpoint()
			}
			y.closeBatch(y.baths[0])
			y.write()
			y.checkpoint()
		}
		y.raw("", "stop", `{}`)
		y.write()
		y.at = y.at.Truncate(time.Second) + time.Second
		y.ahead += 24*time.Hour - (y.at - morning)
		y.restart("test")
		y.write()
	}
	d.close()
	return s.close()
}

// desk is a book whose scribe writes while the yard goes on: it gives no numbers
// back.
type desk struct {
	drafts chan []record.Entry
	done   chan struct{}
	draft  []record.Entry
}

func newDesk(b book) *desk {
	d := &desk{drafts: make(chan []record.Entry, 4), done: make(chan struct{})}
	go func() {
		defer close(d.done)
		for draft := range d.drafts {
			b.Append(draft)
		}
	}()
	return d
}

func (d *desk) Append(entries []record.Entry) []record.Entry {
	const many = 512
	d.draft = append(d.draft, entries...)
	if len(d.draft) >= many {
		d.hand()
	}
	return nil
}

func (d *desk) hand() {
	select {
	case d.drafts <- d.draft:
	case <-d.done:
		panic("the scribe stopped")
	}
	d.draft = nil
}

func (d *desk) close() {
	d.hand()
	close(d.drafts)
	<-d.done
}

// Ten years of a busy bath are verified in minutes, with no more memory than a
// month of it, and one byte that changed near their end is found. It is ten years with
//
//	BAINWARD_FULL=1 go test ./daemon/record/verify -run TenYears -v -timeout 90m
//
// and 700 MB of room where temporary files go; else some weeks.
func TestTenYears(t *testing.T) {
	if testing.Short() {
		t.Skip("it measures")
	}
	days := []int{2, 20}
	if full() {
		days = []int{37, 366, 3653}
		room(t, 1500<<20)
	}
	var peaks []int
	for i, n := range days {
		began := time.Now()
		path := busy(t, n)
		wrote := time.Since(began)
		size := must(os.Stat(path)).Size()
		var r Report
		c := costOf(t, func() { r = verified(t, path, Options{Version: "test"}) })
		peaks = append(peaks, c.peakMB)
		t.Logf("%d readings, %.2f bytes each, written in %v; verified in %.1f s by the clock, %.1f s of processors, at most %d MB",
			r.Totals.Readings, float64(size)/float64(r.Totals.Readings), wrote.Round(time.Second), r.Totals.Seconds, c.processor.Seconds(), c.peakMB)
		if want := int64(n * aDaysReadings); !r.Clean || r.Totals.Readings != want || r.Totals.Batches != int64(2*n) || r.Totals.Followed < int64(20*n) {
			t.Fatalf("want %d readings and nothing wrong: %+v, %+v", want, r.Totals, r.Findings)
		}
		if i == len(days)-1 {
			changeOneByte(t, path, r.Totals.Leaves)
		}
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
	if least, most := peaks[0], peaks[len(peaks)-1]; most > 2*least {
		t.Errorf("memory grows with the record: %v MB", peaks)
	}
}

// room fails the test where there is less room than so many bytes.
func room(t testing.TB, bytes uint64) {
	t.Helper()
	var s syscall.Statfs_t
	if err := syscall.Statfs(os.TempDir(), &s); err != nil {
		t.Fatal(err)
	}
	if have := s.Bavail * uint64(s.Bsize); have < bytes {
		t.Fatalf("%d MB of room in %s: want %d MB, or set TMPDIR to a folder that has them", have>>20, os.TempDir(), bytes>>20)
	}
}

// changeOneByte flips a bit in a line of the record's last tenth, sees it found
// where it is, and puts it back.
func changeOneByte(t testing.TB, path string, leaves int64) {
	t.Helper()
	leaf, data := packFrom(t, path, leaves*19/20)
	file := must(os.OpenFile(path, os.O_RDWR, 0))
	defer file.Close()
	at := whereIs(t, file, data) + int64(len(data)/2)
	if _, err := file.WriteAt([]byte{data[len(data)/2] ^ 1}, at); err != nil {
		t.Fatal(err)
	}
	r := verified(t, path, Options{Version: "test", SkipFold: true})
	if r.Clean || r.Findings[0].Leaf == nil || *r.Findings[0].Leaf < leaf || *r.Findings[0].Leaf > leaf+100 {
		t.Errorf("byte %d of %s was changed, in the lines from leaf %d on: %+v", at, filepath.Base(path), leaf, r.Findings)
	}
	t.Logf("of leaf %d on, of %d, one byte changed: found in %.1f s by the clock, %s", leaf, leaves, r.Totals.Seconds, r.Findings[0].Kind)
}

// packFrom returns the first pack from a leaf on, and how its data begins.
func packFrom(t testing.TB, path string, from int64) (leaf int64, data []byte) {
	t.Helper()
	db := must(sql.Open("sqlite", "file:"+path+"?mode=ro&immutable=1"))
	defer db.Close()
	if err := db.QueryRowContext(t.Context(), "SELECT id, substr(data, 1, 256) FROM pack WHERE id >= ? ORDER BY id", from).Scan(&leaf, &data); err != nil {
		t.Fatal(err)
	}
	return leaf, data
}

// whereIs returns where in a file the data is, which lies within one of its pages.
func whereIs(t testing.TB, file *os.File, data []byte) int64 {
	t.Helper()
	const page = 4096
	b := make([]byte, page)
	for at := must(file.Stat()).Size() - page; at >= 0; at -= page {
		if _, err := file.ReadAt(b, at); err != nil {
			t.Fatal(err)
		}
		if i := bytes.Index(b, data); i >= 0 {
			return at + int64(i)
		}
	}
	t.Fatal(fmt.Errorf("no page holds these %d bytes", len(data)))
	return 0
}

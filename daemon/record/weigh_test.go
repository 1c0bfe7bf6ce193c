package record

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// workshop says what the probes of two lit baths say, as nearly as it matters
// for how well a record packs: steps of 1/16 °C, a noise of a third of a step in
// still oil and of two thirds in simmering water (as the simulated bath has it), a
// barometer with a noise of 1.3 Pa (a BMP280 without its filter; from memory),
// polls that come a few milliseconds late, two clocks of which one is slewed, and
// an entry every other minute.
type workshop struct {
	chance *rand.Rand
	at     time.Duration
}

func (w *workshop) frame(phase float64) sensors.Frame {
	second := w.at.Seconds()
	f := sensors.Frame{At: w.at, Wall: nine.Add(w.at + time.Duration(second*20_000))} // 20 ppm apart
	step := func(celsius, noise float64) sensors.Reading {
		return sensors.AtCelsius(math.Round((celsius+noise*w.chance.NormFloat64())*16) / 16)
	}
	f.Probes[sensors.Oil] = step(91+2*math.Sin(second/1900+phase), 0.02)
	f.Probes[sensors.Bath] = step(99.2+0.3*math.Sin(second/600+phase), 0.04)
	f.Probes[sensors.Room] = step(21+1.5*math.Sin(second/9000), 0.02)
	f.Pressure.Pascal = int32(math.Round(100930 + 300*math.Sin(second/30000) + 1.3*w.chance.NormFloat64()))
	return Rounded(f)
}

// poll is what a second brings: two readings, and sometimes what follows.
func (w *workshop) poll() []Entry {
	w.at = (w.at/time.Second+1)*time.Second + time.Duration(w.chance.ExpFloat64()*float64(2*time.Millisecond))
	north, south := w.frame(0), w.frame(1)
	poll := []Entry{OfFrame("north", north), OfFrame("south", south)}
	if w.chance.IntN(120) == 0 { // a rule that changed its mind
		poll = append(poll, must(Of(north.At, north.Wall, "north", FindingOf(rules.TopUpDue, rules.Finding{Level: rules.Raised, A: w.chance.Float64(), B: w.chance.Float64()}))))
	}
	if int(w.at/time.Second)%3600 == 0 {
		poll = append(poll, must(Of(north.At, north.Wall, "", Checkpoint{Why: WhyHour})))
	}
	return poll
}

// TestWhatItWeighs prints what a day of two lit baths takes on disk, with entries,
// hashes and indexes, and holds it to a bound:
//
//	go test ./daemon/record -run WhatItWeighs -v
func TestWhatItWeighs(t *testing.T) {
	hours := 24
	if testing.Short() {
		hours = 2
	}
	dir := t.TempDir()
	r := openIn(t, dir)
	appendTo(t, r, must(Of(0, nine, "", Key{})))
	w := workshop{chance: rand.New(rand.NewPCG(1, 2))}
	readings, log, fullest := 0, int64(0), 0
	for range hours * 60 {
		var minute []Entry
		for range 60 {
			minute = append(minute, w.poll()...)
			readings += 2
		}
		appendTo(t, r, minute...)
		log = max(log, must(os.Stat(filepath.Join(dir, fileName+"-wal"))).Size())
		var open int
		if err := r.conn.QueryRowContext(t.Context(), "SELECT count(*) FROM reading").Scan(&open); err != nil {
			t.Fatal(err)
		}
		fullest = max(fullest, open)
	}
	var pages, free, leaves int
	var packed, lines int64
	err := r.conn.QueryRowContext(t.Context(), `SELECT p.page_count, f.freelist_count, (SELECT max(leaf) FROM entry), (SELECT sum(length(data)) FROM pack), (SELECT sum(size) FROM block)
		FROM pragma_page_count p, pragma_freelist_count f`).Scan(&pages, &free, &leaves, &packed, &lines)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	size := must(os.Stat(filepath.Join(dir, fileName))).Size()
	each := float64(size) / float64(readings)
	t.Logf("%d h of two lit baths: %d readings, %d leaves, %d bytes in all: %.2f bytes a reading", hours, readings, leaves, size, each)
	t.Logf("of it %.2f bytes are packed lines, which were %.1f bytes a reading before", float64(packed)/float64(readings), float64(lines)/float64(readings))
	t.Logf("a bath that is read every second of a year: %.0f MB; one that is lit 8 h a day and else not read: %.0f MB", each*365*86400/1e6, each*365*8*3600/1e6)
	t.Logf("free pages: %d of %d; most open readings after a minute: %d; write-ahead log: at most %.1f MB", free, pages, fullest, float64(log)/1e6)
	if each > 6 && hours == 24 {
		t.Errorf("%.2f bytes a reading, want 6 at most", each)
	}
	if free > 40 || fullest > 2*61 || log > 16<<20 {
		t.Errorf("%d free pages, %d open readings, a log of %d bytes: the room of sealed readings is not used again", free, fullest, log)
	}
	t.Logf("bytes, by table and index:\n%s", shell(t, dir, "SELECT name, sum(pgsize) FROM dbstat GROUP BY name ORDER BY 2 DESC LIMIT 6"))
}

// TestWhatACommitCosts prints how long polls of two baths take to be on disk, of
// which one in sixty seals two blocks, one in six hundred packs ten of each, and some bring an entry into the tree.
func TestWhatACommitCosts(t *testing.T) {
	polls := 6000
	if testing.Short() {
		polls = 400
	}
	r := openIn(t, t.TempDir())
	appendTo(t, r, must(Of(0, nine, "", Key{})))
	w := workshop{chance: rand.New(rand.NewPCG(1, 2))}
	took := map[string][]time.Duration{}
	for range polls {
		poll := w.poll()
		leaves, filled := r.tail.edge.size, packs(t, r)
		start := time.Now()
		appendTo(t, r, poll...)
		spent := time.Since(start)
		sort := "plain"
		switch grown := r.tail.edge.size - leaves; {
		case grown >= 2 && packs(t, r) > filled:
			sort = "packing"
		case grown >= 2:
			sort = "sealing"
		case grown == 1:
			sort = "with an entry"
		}
		took[sort] = append(took[sort], spent)
	}
	for sort, all := range took {
		slices.Sort(all)
		t.Logf("%-13s %4d polls: p50 %.2f ms, p99 %.2f ms, max %.2f ms", sort, len(all),
			all[len(all)/2].Seconds()*1e3, all[len(all)*99/100].Seconds()*1e3, all[len(all)-1].Seconds()*1e3)
	}
	if len(took["sealing"]) < polls/80 {
		t.Errorf("%d of %d polls sealed", len(took["sealing"]), polls)
	}
}

// packs counts the packs of a record.
func packs(t *testing.T, r *Record) (n int) {
	t.Helper()
	if err := r.conn.QueryRowContext(t.Context(), "SELECT count(*) FROM pack").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

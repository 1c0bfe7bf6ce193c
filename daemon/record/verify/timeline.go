package verify

import (
	"fmt"
	"maps"
	"slices"
	"time"
)

// what an entry is, for the timeline.
type what uint8

const (
	nothing what = iota // no entry has this number
	aReading
	anEntry
	aClockSet // an entry that explains a jump of the time of day: a clock or a restart
)

// pageSize is how many numbers a page of the timeline holds. Numbers come nearly
// in order, since a reading is sealed a minute after the entries around it, so
// that only few pages are open at a time.
const pageSize = 4096

// timeline holds every number of the log against every other: each is there once,
// offsets do not go back, and the time of day jumps only where an entry says so.
// It is given entries in the order of sealing and needs little memory: of a page
// whose numbers are all there it keeps only its ends, and of one that lies far
// back, where readings were thinned out, also its holes.
type timeline struct {
	found *findings
	pages map[int64]*page
	ends  map[int64]ends
	last  int64 // greatest number
	jumps []jump
	holes []span
	// unknown are the numbers from and to which some belong to blocks that cannot
	// be read; gone, those of blocks that were thinned out, of thinned numbers.
	unknown, gone []span
	thinned       int64
}

// span is numbers from and to, both included.
type span struct{ from, to int64 }

// farBack is how many pages may be open. More are only where readings were
// thinned out, or where an entry is gone.
const farBack = 256

type page struct {
	n     int
	what  [pageSize]what
	at    [pageSize]int64
	ahead [pageSize]int64
}

// ends is what must be known of a stretch of entries to join it with others.
type ends struct {
	first, last     int64 // numbers
	firstAt, lastAt int64
	anything        bool
	reads           bool  // it holds readings
	headRead        int64 // number of its first reading
	headAhead       int64
	headAt          int64 // its offset
	headSet         bool  // a clock was set before its first reading
	tailAhead       int64
	tailSet         bool // a clock was set after its last reading
}

func newTimeline(found *findings) *timeline {
	return &timeline{found: found, pages: map[int64]*page{}, ends: map[int64]ends{}}
}

// put enters a number.
func (t *timeline) put(seq, at, ahead int64, w what) {
	if seq < 1 {
		t.found.add(Finding{Kind: Order, Entry: seq, Expected: "numbers from 1", Found: fmt.Sprintf("number %d", seq)})
		return
	}
	index, i := (seq-1)/pageSize, (seq-1)%pageSize
	p := t.pages[index]
	if p == nil {
		if _, away := t.ends[index]; away {
			if !t.late(seq) {
				t.twice(seq)
			}
			return
		}
		p = &page{}
		t.pages[index] = p
	}
	if p.what[i] != nothing {
		t.twice(seq)
		return
	}
	p.what[i], p.at[i], p.ahead[i] = w, at, ahead
	p.n++
	t.last = max(t.last, seq)
	if p.n == pageSize {
		t.putAway(index, p)
	}
	if len(t.pages) > farBack {
		first := slices.Min(slices.Collect(maps.Keys(t.pages)))
		t.putAway(first, t.pages[first])
	}
}

func (t *timeline) putAway(index int64, p *page) {
	t.ends[index] = t.walk(index, p)
	delete(t.pages, index)
}

// late enters a number whose page was put away; it returns false if it was there.
func (t *timeline) late(seq int64) bool {
	for i, h := range t.holes {
		if h.from <= seq && seq <= h.to {
			t.holes = slices.Replace(t.holes, i, i+1, span{h.from, seq - 1}, span{seq + 1, h.to})
			return true
		}
	}
	return false
}

func (t *timeline) twice(seq int64) {
	t.found.add(Finding{Kind: NumberTwice, Entry: seq, Expected: "every number once", Found: fmt.Sprintf("number %d a second time", seq)})
}

// done walks what is left, joins the pages and tells what is missing.
func (t *timeline) done() {
	for _, index := range slices.Sorted(maps.Keys(t.pages)) {
		t.ends[index] = t.walk(index, t.pages[index])
	}
	clear(t.pages)
	var all ends
	next := int64(0)
	for _, index := range slices.Sorted(maps.Keys(t.ends)) {
		t.hole(next*pageSize+1, index*pageSize)
		all = t.join(all, t.ends[index])
		next = index + 1
	}
	t.tellJumps()
	t.tellHoles()
}

// walk goes through a page in order of numbers.
func (t *timeline) walk(index int64, p *page) ends {
	var all ends
	next := index*pageSize + 1
	for i := range int64(pageSize) {
		seq := index*pageSize + 1 + i
		if p.what[i] == nothing {
			continue
		}
		t.hole(next, seq-1)
		next = seq + 1
		all = t.join(all, p.ends(i, seq))
	}
	if end := (index + 1) * pageSize; end < t.last {
		t.hole(next, end)
	} else if next <= t.last {
		t.hole(next, t.last)
	}
	return all
}

func (p *page) ends(i, seq int64) ends {
	e := ends{anything: true, first: seq, last: seq, firstAt: p.at[i], lastAt: p.at[i]}
	switch p.what[i] {
	case aReading:
		e.reads, e.headRead, e.headAhead, e.headAt, e.tailAhead = true, seq, p.ahead[i], p.at[i], p.ahead[i]
	case aClockSet:
		e.headSet, e.tailSet = true, true
	}
	return e
}

// hole remembers that numbers are not there, if there are any.
func (t *timeline) hole(from, to int64) {
	if from <= to {
		t.holes = append(t.holes, span{from, to})
	}
}

// join puts b after a and holds them against each other.
func (t *timeline) join(a, b ends) ends {
	if !a.anything {
		return b
	}
	if !b.anything {
		return a
	}
	if b.firstAt < a.lastAt {
		t.found.add(Finding{Kind: OffsetGoesBack, Entry: b.first,
			Expected: fmt.Sprintf("an offset of %v or more, as entry %d has", millis(a.lastAt), a.last), Found: millis(b.firstAt).String()})
	}
	if a.reads && b.reads && !a.tailSet && !b.headSet && apart(a.tailAhead, b.headAhead) {
		t.jumps = append(t.jumps, jump{seq: b.headRead, at: b.headAt, from: a.tailAhead, to: b.headAhead})
	}
	j := a
	j.last, j.lastAt = b.last, b.lastAt
	switch {
	case a.reads && b.reads:
		j.tailAhead, j.tailSet = b.tailAhead, b.tailSet
	case b.reads:
		j.reads, j.headRead, j.headAhead, j.headAt, j.headSet = true, b.headRead, b.headAhead, b.headAt, a.headSet || b.headSet
		j.tailAhead, j.tailSet = b.tailAhead, b.tailSet
	default:
		j.tailSet = a.tailSet || b.tailSet
		if !a.reads {
			j.headSet = j.tailSet
		}
	}
	return j
}

func millis(n int64) time.Duration { return time.Duration(n) * time.Millisecond }

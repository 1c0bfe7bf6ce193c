package verify

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// jump is a place where the time of day moves against the offsets from one reading
// to the next, and no entry says so.
type jump struct {
	seq, at  int64 // of the reading after it
	from, to int64 // by how many ms the time of day was ahead
}

// A daemon notes a set clock when the time of day moved by more than two seconds
// against the offsets from one poll to the next; the rest is the time between its
// looking at the one clock and at the other.
const mostAhead = int64(2250 * time.Millisecond / time.Millisecond)

func apart(x, y int64) bool { return x-y > mostAhead || y-x > mostAhead }

// soonBack is how soon a jump must be undone to be none. A daemon looks at the
// offset first and at the time of day next: where the machine held it up in
// between, one poll is stamped too late, and the next is right again.
const soonBack = int64(10 * time.Second / time.Millisecond)

// tellJumps tells of the jumps that last.
func (t *timeline) tellJumps() {
	slices.SortFunc(t.jumps, func(a, b jump) int { return cmp.Compare(a.seq, b.seq) })
	for i := 0; i < len(t.jumps); i++ {
		j := t.jumps[i]
		if i+1 < len(t.jumps) {
			if back := t.jumps[i+1]; j.to > j.from && back.at-j.at <= soonBack && !apart(back.to, j.from) {
				i++
				continue
			}
		}
		t.found.add(Finding{Kind: ClockJumps, Entry: j.seq, Expected: "a clock or restart entry where the time of day jumps",
			Found: fmt.Sprintf("it moved by %v against the offsets and none says so", millis(j.to-j.from))})
	}
}

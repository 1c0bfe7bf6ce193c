package verify

import (
	"slices"
	"testing"
)

// order puts numbers into a timeline in the order given, with offsets that rise.
func order(seqs []int64) []Finding {
	var f findings
	tl := newTimeline(&f)
	for _, n := range seqs {
		tl.put(n, 1000*n, 5, aReading)
	}
	tl.done()
	return f.list
}

func upTo(n int64) []int64 {
	all := make([]int64, n)
	for i := range all {
		all[i] = int64(i) + 1
	}
	return all
}

// Numbers may come in any order: what counts is that each is there.
func TestNumbersMayComeInAnyOrder(t *testing.T) {
	all := upTo(3*pageSize + 17)
	if got := order(all); len(got) > 0 {
		t.Errorf("in order: %+v", got)
	}
	slices.Reverse(all)
	if got := order(all); len(got) > 0 {
		t.Errorf("backwards: %+v", got)
	}
}

// A hole is named from its first number to its last, wherever the pages end.
func TestAHoleIsNamed(t *testing.T) {
	all := upTo(5 * pageSize)
	for _, hole := range []struct {
		from, to int64
		found    []string
	}{
		{1, 1, []string{"no entry 1"}},
		{7, 9, []string{"none of entries 7 to 9"}},
		{pageSize, pageSize, []string{"no entry 4096"}},
		{pageSize + 1, 2 * pageSize, []string{"none of entries 4097 to 8192"}},
	} {
		left := slices.DeleteFunc(slices.Clone(all), func(n int64) bool { return hole.from <= n && n <= hole.to })
		var found []string
		for _, f := range order(left) {
			if f.Kind != MissingNumber {
				t.Errorf("named %s", f.Kind)
			}
			found = append(found, f.Found)
		}
		if !slices.Equal(found, hole.found) {
			t.Errorf("without %d to %d: found %q, want %q", hole.from, hole.to, found, hole.found)
		}
	}
}

// A number that comes again is named, also when its page was put away long ago.
func TestANumberThatComesAgainIsNamed(t *testing.T) {
	for _, again := range []int64{1, pageSize, 2*pageSize + 3} {
		got := order(append(upTo(2*pageSize+5), again))
		if len(got) != 1 || got[0].Kind != NumberTwice || got[0].Entry != again {
			t.Errorf("%d again: %+v", again, got)
		}
	}
}

// clocks is a timeline of entries, each an offset, by how much the time of day is
// ahead of it, and what it is.
func clocks(entries ...[3]int64) []Finding {
	var f findings
	tl := newTimeline(&f)
	for i, e := range entries {
		tl.put(int64(i)+1, e[0], e[1], what(e[2]))
	}
	tl.done()
	return f.list
}

// The time of day may jump between two readings only where an entry says so; a
// deed may come in between that saw the new time before the daemon noted it.
func TestAJumpOfTheTimeOfDayMustBeSaid(t *testing.T) {
	const reading, entry, set = int64(aReading), int64(anEntry), int64(aClockSet)
	for _, c := range []struct {
		what    string
		entries [][3]int64
		jumps   bool
	}{
		{"steady", [][3]int64{{0, 0, reading}, {1000, 2000, reading}, {2000, 3999, reading}}, false},
		{"said", [][3]int64{{0, 0, reading}, {1000, 9000, set}, {1000, 9000, reading}}, false},
		{"seen by a deed first", [][3]int64{{0, 0, reading}, {500, 9000, entry}, {1000, 9000, set}, {1000, 9000, reading}}, false},
		{"one look that came late", [][3]int64{{0, 0, reading}, {1000, 2900, reading}, {1000, 2900, reading}, {2000, 10, reading}}, false},
		{"a jump that is taken back later", [][3]int64{{0, 0, reading}, {1000, 2900, reading}, {12000, 2900, set}, {12000, 10, reading}}, true},
		{"not said", [][3]int64{{0, 0, reading}, {1000, 9000, reading}}, true},
		{"back, not said", [][3]int64{{0, 9000, reading}, {500, 0, entry}, {1000, 0, reading}}, true},
		{"said too early", [][3]int64{{0, 0, set}, {0, 0, reading}, {1000, 9000, reading}}, true},
		{"said too late", [][3]int64{{0, 0, reading}, {1000, 9000, reading}, {1000, 9000, set}}, true},
	} {
		got := clocks(c.entries...)
		if jumps := len(got) == 1 && got[0].Kind == ClockJumps; jumps != c.jumps || !jumps && len(got) > 0 {
			t.Errorf("%s: %+v", c.what, got)
		}
	}
}

// An offset that is smaller than the one before is named, also across pages.
func TestAnOffsetThatGoesBackIsNamed(t *testing.T) {
	for _, at := range []int64{2, pageSize + 1} {
		var f findings
		tl := newTimeline(&f)
		for n := range int64(pageSize + 5) {
			offset := 10 * n
			if n+1 == at {
				offset -= 11
			}
			tl.put(n+1, offset, 0, aReading)
		}
		tl.done()
		if len(f.list) != 1 || f.list[0].Kind != OffsetGoesBack || f.list[0].Entry != at {
			t.Errorf("at %d: %+v", at, f.list)
		}
	}
}

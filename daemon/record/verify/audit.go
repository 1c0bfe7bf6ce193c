package verify

import (
	"bytes"
	"fmt"

	"bainward/daemon/record"
	"bainward/sensors"
)

// auditor holds every leaf, in order, against the numbers, the tree and what was
// signed.
type auditor struct {
	found    *findings
	totals   *Totals
	bodies   bodies
	tree     tree
	kept     *keptHashes
	nextKept int64
	timeline *timeline
	signed   *signing
	lastOf   map[string]int64 // last number in the blocks of a bath
	lastSeq  int64            // of the entries
	strange  map[string]int   // entries of kinds that this version does not know
	thinned  map[int64]*thinned
	storedTo map[string]int64 // up to which offset a place is told of
	starts   []start          // by their numbers
	faults   map[string]sensors.Fault
	sealed   int64 // numbers in leaves so far
	astray   bool  // a leaf was missing or in the wrong place
}

func newAuditor(v *verifier, kept *keptHashes) *auditor {
	return &auditor{
		found: v.found, totals: &v.report.Totals, bodies: newBodies(), kept: kept, signed: v.signed,
		timeline: newTimeline(v.found), lastOf: map[string]int64{}, strange: map[string]int{},
		thinned: v.thinned, storedTo: map[string]int64{}, faults: faultWords(),
	}
}

func (a *auditor) take(b *batch) {
	for i := range b.leaves {
		n := &b.leaves[i]
		if !a.inPlace(n) {
			continue
		}
		// A checkpoint covers what is before it, so it is looked at first.
		if !n.row.isBlock && n.err == nil {
			a.signed.take(&n.row.entry, a)
		}
		a.grow(n)
		a.read(n, b)
	}
}

// at begins a finding about a leaf.
func (n *leaf) at(k Kind, expected, found string) Finding {
	f := Finding{Kind: k, Leaf: number(n.row.leaf), Expected: expected, Found: found}
	if n.row.isBlock {
		f.Entry, f.Bath = n.row.block.first, n.row.block.bath
	} else {
		f.Entry, f.Bath = n.row.entry.seq, n.row.entry.bath
	}
	return f
}

// inPlace sees to it that the leaf is the next; of one that is not it says why.
func (a *auditor) inPlace(n *leaf) bool {
	have, next := n.row.leaf, a.tree.size
	switch {
	case have == next:
		return true
	case have < next:
		kind, found := NumberTwice, fmt.Sprintf("leaf %d a second time", have)
		if have < next-1 {
			kind, found = Order, fmt.Sprintf("leaf %d, though later ones stand before it", have)
		}
		a.found.add(n.at(kind, fmt.Sprintf("leaf %d", next), found))
		a.astray = true
		return false
	}
	span := fmt.Sprintf("no line of leaf %d", next)
	if have > next+1 {
		span = fmt.Sprintf("no lines of leaves %d to %d", next, have-1)
	}
	a.found.add(Finding{Kind: MissingNumber, Leaf: number(next), Expected: "a line for every leaf", Found: span})
	a.astray = true
	a.standIn(have)
	return true
}

// standIn lets the hashes that are kept stand in for lines that are gone, so that
// the rest can be judged by itself.
func (a *auditor) standIn(until int64) {
	for a.tree.size < until {
		h, ok := a.kept.take(a.nextKept)
		if !ok {
			return
		}
		a.nextKept++
		a.add(peak{h, h})
	}
}

// grow holds the hash of a leaf against the one that is kept, and adds it to the
// tree.
func (a *auditor) grow(n *leaf) {
	kept, ok := a.kept.take(a.nextKept)
	a.nextKept++
	switch {
	case !ok:
		a.found.add(n.at(TreeHash, "the hash of every leaf", "none is kept"))
		kept = n.hash
	case n.has && kept != n.hash:
		a.found.add(n.at(LeafHash, "a line whose hash is "+kept.String(), "one whose hash is "+n.hash.String()))
	}
	p := peak{n.hash, kept}
	if !n.has {
		p.lines = kept
	}
	a.add(p)
}

// add adds a leaf to the tree and holds every hash above it that it completes
// against the one that is kept.
func (a *auditor) add(leaf peak) {
	a.tree.grow(leaf, func(level int, n int64, p peak) hash {
		a.nextKept++
		if level%keptLevels != 0 {
			return p.kept
		}
		kept, ok := a.kept.take(a.nextKept - 1)
		first := n << level
		f := Finding{Kind: TreeHash, Leaf: number(first), Expected: p.lines.String()}
		switch {
		case !ok:
			f.Found = "none is kept"
			kept = p.kept
		case kept == p.lines || kept == p.kept:
			return kept
		default:
			f.Found = kept.String()
		}
		f.Expected = fmt.Sprintf("over leaves %d to %d the hash %s", first, first+1<<level-1, f.Expected)
		a.found.add(f)
		return kept
	})
	a.signed.grew(&a.tree)
}

// read takes what a leaf says into the order of numbers and instants.
func (a *auditor) read(n *leaf, b *batch) {
	if n.err != nil {
		a.astray = true
		a.found.add(n.at(UnreadableLine, "", n.err.Error()))
		if n.row.isBlock {
			a.timeline.unknown = excuse(a.timeline.unknown, span{n.row.block.first, n.row.block.last})
		}
	}
	if n.row.err != nil {
		return
	}
	if n.row.isBlock {
		a.readBlock(n, b)
		return
	}
	e := &n.row.entry
	a.sealed++
	if e.seq <= a.lastSeq {
		a.found.add(n.at(Order, fmt.Sprintf("a number above %d", a.lastSeq), fmt.Sprintf("number %d", e.seq)))
	}
	a.lastSeq = e.seq
	a.timeline.put(e.seq, e.atMS, e.wallMS-e.atMS, a.kindOf(e))
	a.totals.saw(e.wallMS)
	if e.kind == "storage" {
		a.stored(n)
	}
}

func (a *auditor) kindOf(e *entryRow) what {
	switch e.kind {
	case "clock", "restart":
		return aClockSet
	case "batch":
		if bytes.Contains(e.body, []byte(`"state":"opened"`)) {
			a.totals.Batches++
		}
	case "checkpoint":
		a.totals.Checkpoints++
	case "cosignature":
		a.totals.Cosignatures++
	}
	if _, known := a.bodies[record.Kind(e.kind)]; !known {
		a.strange[e.kind]++
	}
	return anEntry
}

func (a *auditor) readBlock(n *leaf, b *batch) {
	row := &n.row.block
	if row.gone {
		a.takeGone(n)
		return
	}
	if before := a.lastOf[row.bath]; n.err == nil && row.first <= before {
		a.found.add(n.at(Order, fmt.Sprintf("readings after number %d of this bath", before), fmt.Sprintf("readings from number %d", row.first)))
	}
	for i := n.from; i < n.to; i++ {
		a.timeline.put(b.seq[i], b.at[i], b.ahead[i], aReading)
	}
	a.begins(row.bath, b.seq[n.from:n.to], b.at[n.from:n.to], b.ahead[n.from:n.to])
	if n.to > n.from {
		a.lastOf[row.bath] = row.last
		a.totals.saw(b.at[n.from] + b.ahead[n.from])
		a.totals.saw(b.at[n.to-1] + b.ahead[n.to-1])
	}
	a.sealed += int64(n.to - n.from)
	a.totals.Readings += int64(n.to - n.from)
}

// done looks at what is left when there are no more leaves.
func (a *auditor) done() {
	a.timeline.done()
	a.neverBegan()
	a.totals.Entries = a.timeline.last
	for _, k := range a.signed.keys() {
		a.totals.Keys = append(a.totals.Keys, k.text)
	}
	a.totals.Leaves = a.tree.size
	a.totals.Root = a.tree.roots().lines.String()
	if rest := a.kept.rest(); rest > 0 {
		a.found.add(Finding{Kind: MissingNumber, Leaf: number(a.tree.size),
			Expected: fmt.Sprintf("%d hashes for %d leaves", keptFor(a.tree.size), a.tree.size),
			Found:    fmt.Sprintf("%d more: of leaves whose lines are gone, or of none", rest)})
	}
}

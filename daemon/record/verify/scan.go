package verify

import (
	"context"
	"fmt"
	"sync"

	"bainward/sensors"
)

// leaf is a leaf as it was read, for the auditor who holds it against the rest.
type leaf struct {
	row  *row
	err  error // it says nothing that a record could hold
	hash hash
	has  bool // hash is of its line; else there is no line
	// Of a block: where its readings lie in the batch.
	from, to int
}

// batch is a run of leaves that one worker reads at a time.
type batch struct {
	rows           []row
	leaves         []leaf
	seq, at, ahead []int64 // of the readings of its blocks
	done           chan struct{}
}

// batchLeaves is how many: enough that handing them over costs nothing, few
// enough that memory stays small.
const batchLeaves = 256

// eachLeaf reads every leaf of the record on so many workers and hands them, in
// their order, to take.
func eachLeaf(ctx context.Context, r *rows, workers int, take func(*batch)) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	work, order := make(chan *batch, workers), make(chan *batch, 2*workers)
	free := make(chan *batch, 4*workers)
	var running sync.WaitGroup
	defer running.Wait()
	running.Go(func() {
		defer close(work)
		defer close(order)
		for {
			b := fill(r, free)
			if len(b.rows) == 0 || !send(ctx, work, b) || !send(ctx, order, b) {
				return
			}
		}
	})
	for range workers {
		running.Go(func() {
			reader := newLeafReader()
			for b := range work {
				reader.read(b)
				close(b.done)
			}
		})
	}
	for b := range order {
		<-b.done
		take(b)
		select {
		case free <- b:
		default:
		}
	}
	return ctx.Err()
}

func send(ctx context.Context, to chan<- *batch, b *batch) bool {
	select {
	case to <- b:
		return true
	case <-ctx.Done():
		return false
	}
}

// fill reads the next rows into a batch that is free.
func fill(r *rows, free <-chan *batch) *batch {
	b := &batch{rows: make([]row, 0, batchLeaves)}
	select {
	case b = <-free:
	default:
	}
	b.rows, b.leaves, b.done = b.rows[:0], b.leaves[:0], make(chan struct{})
	b.seq, b.at, b.ahead = b.seq[:0], b.at[:0], b.ahead[:0]
	for len(b.rows) < batchLeaves {
		var next row
		if !r.next(&next) {
			break
		}
		b.rows = append(b.rows, next)
	}
	return b
}

// leafReader brings leaves back to their lines and reads what they say.
type leafReader struct {
	inflater inflater
	block    block
	faults   map[string]sensors.Fault
	bodies   bodies
	line     []byte
	buffer   []byte
}

func newLeafReader() *leafReader {
	return &leafReader{faults: faultWords(), bodies: newBodies()}
}

func (l *leafReader) read(b *batch) {
	for i := range b.rows {
		r := &b.rows[i]
		n := leaf{row: r, err: r.err}
		switch {
		case r.err != nil, r.isBlock && r.block.gone:
		case r.isBlock:
			l.readBlock(&n, b)
		default:
			l.readEntry(&n)
		}
		b.leaves = append(b.leaves, n)
	}
}

func (l *leafReader) readEntry(n *leaf) {
	e := &n.row.entry
	l.line = e.appendLine(l.line[:0])
	n.hash, l.buffer = leafHash(l.line, l.buffer)
	n.has = true
	n.err = l.bodies.check(e)
}

func (l *leafReader) readBlock(n *leaf, b *batch) {
	row := &n.row.block
	line, err := row.line(&l.inflater)
	if err != nil {
		n.err = err
		return
	}
	n.hash, l.buffer = leafHash(line, l.buffer)
	n.has = true
	if n.err = l.block.read(line, l.faults); n.err != nil {
		return
	}
	if n.err = row.fits(&l.block); n.err != nil {
		return
	}
	n.from = len(b.seq)
	b.seq = append(b.seq, l.block.seq...)
	b.at = append(b.at, l.block.at...)
	b.ahead = append(b.ahead, l.block.ahead...)
	n.to = len(b.seq)
}

// fits reports how the columns beside a block differ from what its line says:
// the columns are for finding it, the line is what was sealed.
func (r *blockRow) fits(b *block) error {
	last := len(b.seq) - 1
	for _, c := range []struct {
		what         string
		line, beside int64
	}{
		{"leaf", b.leaf, r.leaf}, {"first number", b.seq[0], r.first}, {"last number", b.seq[last], r.last}, {"count", int64(last + 1), r.count},
	} {
		if c.line != c.beside {
			return fmt.Errorf("its line says %s %d, the column beside it %d", c.what, c.line, c.beside)
		}
	}
	if string(b.bath) != r.bath {
		return fmt.Errorf("its line is of bath %q, the column beside it says %q", b.bath, r.bath)
	}
	for i := range last {
		if b.seq[i+1] <= b.seq[i] {
			return fmt.Errorf("number %d follows number %d", b.seq[i+1], b.seq[i])
		}
	}
	return nil
}

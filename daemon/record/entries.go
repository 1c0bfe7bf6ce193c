package record

import (
	"context"
	"fmt"
	"iter"
	"math"
)

// Entries goes through the entries numbered from to to, both included, in
// order; to ≤ 0 means to the last. It ends with an error if the record cannot
// be read or if a number is missing that was not thinned out.
func (r *Reader) Entries(ctx context.Context, from, to int64) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		next := max(from, 1)
		r.pages(ctx, selection{every: true, from: next, to: to}, func(p *page, e *Entry) bool {
			for until := p.until(e); next <= until && p.isThinned(next); next++ {
			}
			if e == nil {
				return true
			}
			if e.Seq != next {
				yield(*e, fmt.Errorf("the record has a hole: entry %d is followed by entry %d", next-1, e.Seq))
				return false
			}
			next++
			return yield(*e, nil)
		}, func(err error) { yield(Entry{}, err) })
	}
}

// ofBath goes through the entries of one bath and of the site, in order.
func (r *Reader) ofBath(ctx context.Context, bath string, from, to int64) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		r.pages(ctx, selection{bath: bath, from: from, to: to},
			func(_ *page, e *Entry) bool { return e == nil || yield(*e, nil) },
			func(err error) { yield(Entry{}, err) })
	}
}

// pages goes through a selection page by page, until each says no. It is told of
// the end of a page by an entry that is nil.
func (r *Reader) pages(ctx context.Context, s selection, each func(*page, *Entry) bool, fail func(error)) {
	if s.to <= 0 {
		s.to = math.MaxInt64
	}
	if s.rows == 0 {
		s.blocks, s.rows = pageBlocks, pageRows
	}
	u := r.unpackers.Get().(*unpacker)
	defer r.unpackers.Put(u)
	for {
		p, err := r.readPage(ctx, s)
		if err != nil {
			fail(fmt.Errorf("read record from entry %d: %w", s.from, err))
			return
		}
		for {
			e, err := p.next(u, s.from)
			if err != nil {
				fail(err)
				return
			}
			if e != nil && e.Seq > s.to {
				return
			}
			if !each(p, e) {
				return
			}
			if e == nil {
				break
			}
		}
		if p.end >= s.to {
			return
		}
		s.from = p.end + 1
	}
}

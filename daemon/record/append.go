package record

import (
	"context"
	"errors"
	"fmt"
	"slices"
)

// Append adds entries at the end of the record, in order, and returns them with
// their numbers. When it returns without an error they are on disk, every one;
// with an error, none of them counts. After an error, a full disk for one, the
// record may be used as before: try again with the next poll.
//
// Offsets must not go back, frames must have been Rounded, and a body must be
// one that Of makes; else nothing is written. An empty Key or a Checkpoint
// without its note is filled in, and so comes back with another body. An end of
// ctx is heeded only before the write begins: a commit is not given up halfway.
//
// (One thing cannot be known: when the disk itself fails while the commit is
// being written and the machine then stops, the entries may yet be found in
// the record. They were reported as an error and announced to nobody.)
func (r *Record) Append(ctx context.Context, entries []Entry) ([]Entry, error) {
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("append to record: %w", err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		return nil, errors.New("append to record: it is closed")
	}
	ctx = context.WithoutCancel(ctx)
	if err := r.settle(ctx); err != nil {
		return nil, fmt.Errorf("append to record: %w", err)
	}
	for i := range entries {
		e := &entries[i]
		if err := e.check(r.tail.seq + 1 + int64(i)); err != nil {
			return nil, fmt.Errorf("append to record: %s entry at offset %v: %w", e.Kind, e.At, err)
		}
	}
	return r.append(ctx, entries, func(context.Context) error { return nil })
}

// append writes entries that were checked, and whatever else belongs into the
// same transaction, before them.
func (r *Record) append(ctx context.Context, entries []Entry, also func(context.Context) error) ([]Entry, error) {
	numbered := slices.Clone(entries)
	last := r.tail.at
	for i := range numbered {
		e := &numbered[i]
		e.Seq = r.tail.seq + 1 + int64(i)
		if e.At < last {
			return nil, fmt.Errorf("append to record: %s entry at offset %v: the record has come to %v already, offsets must not go back", e.Kind, e.At, last)
		}
		last = e.At
	}
	if len(numbered) == 0 {
		return nil, nil
	}
	after, err := r.commit(ctx, numbered, also)
	if err != nil {
		r.unsure = true
		return nil, fmt.Errorf("append to record: entries %d to %d were not written%s: %w",
			numbered[0].Seq, numbered[len(numbered)-1].Seq, remedy(err), err)
	}
	r.tail = after
	if err := r.holdKey(); err != nil {
		r.log.Error("keep the new key", "error", err)
	}
	return numbered, nil
}

// settle finds out, after a failed commit, where the record ends now.
func (r *Record) settle(ctx context.Context) error {
	if !r.unsure {
		return nil
	}
	t, err := readTail(ctx, r.conn)
	if err != nil {
		return err
	}
	if t.seq != r.tail.seq {
		r.log.Warn("record ends elsewhere after a failed write", "expected", r.tail.seq, "found", t.seq)
	}
	r.tail, r.unsure = t, false
	return r.holdKey()
}

// commit writes the entries in one transaction and returns the tail after them.
func (r *Record) commit(ctx context.Context, entries []Entry, also func(context.Context) error) (tail, error) {
	t := r.tail.clone()
	if _, err := r.write.begin.ExecContext(ctx); err != nil {
		return t, err
	}
	err := also(ctx)
	if err == nil {
		err = r.put(ctx, &t, entries)
	}
	if err == nil {
		_, err = r.write.commit.ExecContext(ctx)
	}
	if err != nil {
		// SQLite may have rolled back already, which it then says here; the
		// error that matters is there.
		_, _ = r.write.rollback.ExecContext(ctx)
	}
	return t, err
}

// put writes the entries within a transaction and brings t to their end.
func (r *Record) put(ctx context.Context, t *tail, entries []Entry) error {
	for i := range entries {
		e := &entries[i]
		if err := r.sealFor(ctx, t, e); err != nil {
			return err
		}
		bath, err := r.putBath(ctx, t, e.Bath)
		if err != nil {
			return err
		}
		if e.Kind == KindReading {
			err = r.putReading(ctx, t, e, bath)
		} else {
			err = r.putEntry(ctx, t, e, bath)
		}
		if err != nil {
			return err
		}
		t.seq, t.at = e.Seq, e.At
	}
	return nil
}

// putEntry writes an entry that is no reading: a row and a leaf of the tree.
func (r *Record) putEntry(ctx context.Context, t *tail, e *Entry, bath any) error {
	if err := r.fillIn(t, e); err != nil {
		return err
	}
	leaf := t.edge.size
	if _, err := r.write.entry.ExecContext(ctx, e.Seq, leaf, e.At.Milliseconds(), e.Wall.UnixMilli(), bath, string(e.Kind), string(e.Body)); err != nil {
		return err
	}
	r.line = appendEntryLine(r.line[:0], leaf, e)
	return r.putLeaf(ctx, t, r.line)
}

// putBath returns the number of the bath, nil for the site, and gives it one
// when it is named for the first time.
func (r *Record) putBath(ctx context.Context, t *tail, name string) (any, error) {
	if name == "" {
		return nil, nil
	}
	if id, ok := t.baths[name]; ok {
		return id, nil
	}
	id := int64(len(t.baths)) // from 0: SQLite keeps 0 and 1 in no byte at all
	if _, err := r.write.bath.ExecContext(ctx, id, name); err != nil {
		return nil, err
	}
	t.baths[name] = id
	return id, nil
}

func (r *Record) putReading(ctx context.Context, t *tail, e *Entry, bath any) error {
	atMS, wallMS := e.At.Milliseconds(), e.Wall.UnixMilli()
	at, wall, near := t.stretch.offsets(atMS, wallMS)
	if !near {
		t.stretch = stretch{first: e.Seq, atMS: atMS, wallMS: wallMS}
		at, wall = 0, 0
		if _, err := r.write.stretch.ExecContext(ctx, e.Seq, atMS, wallMS); err != nil {
			return err
		}
	}
	c, err := columnsOf(e.Frame)
	if err != nil {
		return err
	}
	if _, err = r.write.reading.ExecContext(ctx, e.Seq, bath, at, wall, c[0], c[1], c[2], c[3]); err != nil {
		return err
	}
	id := t.baths[e.Bath]
	t.open[id] = append(t.open[id], *e)
	return nil
}

// remedy says what to do about an error, if that is known.
func remedy(err error) string {
	switch codeOf(err) {
	case codeBusy:
		return " (another program writes to the file: end it)"
	case codeFull:
		return " (the disk is full: make room)"
	case codeIOErr:
		return " (the disk refuses: look at its health and its room)"
	}
	return ""
}

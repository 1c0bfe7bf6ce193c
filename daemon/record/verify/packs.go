package verify

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"
)

// packed is a row of the table pack: lines of one bath's blocks, one straight
// after the other. Several workers may want lines of it.
type packed struct {
	id, size int64
	data     []byte
	once     sync.Once
	text     []byte
	err      error
}

// lines unpacks all of it, once.
func (p *packed) lines(in *inflater) ([]byte, error) {
	p.once.Do(func() {
		text, err := in.inflate(p.data, p.size, maxPack)
		p.text, p.err, p.data = append([]byte(nil), text...), err, nil
	})
	return p.text, p.err
}

var errNoLine = errors.New("its line is neither in a pack nor loose")

// line returns the line of a block, from where it is. It is good until the next call.
func (b *blockRow) line(in *inflater) ([]byte, error) {
	switch {
	case b.loose != nil:
		return in.line(b.loose, b.size)
	case b.packed == nil:
		return nil, errNoLine
	}
	text, err := b.packed.lines(in)
	if err != nil {
		return nil, fmt.Errorf("pack %d: %w", b.packed.id, err)
	}
	return cut(text, b.at, b.size)
}

// cut returns size bytes of a text.
func cut(text []byte, at, size int64) ([]byte, error) {
	if n := int64(len(text)); at < 0 || size < 1 || at > n || size > n-at {
		return nil, fmt.Errorf("its line is bytes %d to %d of a pack of %d", at, at+size, n)
	}
	return text[at : at+size], nil
}

// packs goes through the packs in their order, and follows which of their bytes
// belong to which block: each must belong to just one.
type packs struct {
	rows   *sql.Rows
	next   *packed // nil: there are no more
	open   map[int64]*claim
	strays []Finding
}

// claim is how far the lines of a bath go in its newest pack.
type claim struct {
	id   int64   // of the pack; −1: of lines that were thinned out
	pack *packed // nil: its lines are loose
	end  int64
}

func openPacks(ctx context.Context, db *sql.DB) (*packs, error) {
	rows, err := db.QueryContext(ctx, "SELECT id, size, data FROM pack ORDER BY id")
	if err != nil {
		return nil, err
	}
	p := &packs{rows: rows, open: map[int64]*claim{}}
	p.advance()
	return p, nil
}

func (p *packs) advance() {
	p.next = nil
	if !p.rows.Next() {
		return
	}
	p.next = &packed{}
	if err := p.rows.Scan(&p.next.id, &p.next.size, &p.next.data); err != nil {
		p.next.err = err
		p.next.once.Do(func() {})
	}
}

// take returns pack number id; nil if there is none. Those before it are of no
// block.
func (p *packs) take(id int64) *packed {
	for p.next != nil && p.next.id < id {
		p.strays = append(p.strays, Finding{Kind: Order, Leaf: number(p.next.id), Expected: "packs of the lines of blocks", Found: fmt.Sprintf("pack %d, of which no block is", p.next.id)})
		p.advance()
	}
	if p.next == nil || p.next.id != id {
		return nil
	}
	found := p.next
	p.advance()
	return found
}

// claim takes in where a block says that its line is, and finds the pack. Blocks
// come in the order of their leaves, and so do the lines in a pack.
func (p *packs) claim(b *blockRow, bath int64) error {
	c, id := p.open[bath], int64(-1)
	if !b.gone {
		id = b.pack
	}
	var err error
	if c == nil || c.id != id {
		if c != nil {
			p.left(c)
		}
		c = &claim{id: id}
		p.open[bath] = c
		switch {
		case b.gone:
		case id != b.leaf:
			err = fmt.Errorf("its pack is number %d, of which it is not the first", id)
		default:
			c.pack = p.take(id)
		}
	}
	if b.at != c.end && (!b.gone || b.at != 0) {
		err = fmt.Errorf("its line begins at byte %d of its pack, where those before it end at %d", b.at, c.end)
	}
	c.end = b.at + b.size
	b.packed = c.pack
	if b.loose != nil && (c.pack != nil || b.gone) {
		err = errors.New("it has a loose line and is packed or thinned out, too")
	}
	return err
}

// left tells of bytes that are of no block.
func (p *packs) left(c *claim) {
	if c.pack != nil && c.end != c.pack.size {
		p.strays = append(p.strays, Finding{Kind: Order, Leaf: number(c.id), Expected: fmt.Sprintf("lines of blocks up to byte %d of pack %d", c.pack.size, c.id),
			Found: fmt.Sprintf("lines up to byte %d", c.end)})
	}
}

// done tells of what is of no block, and why the packs ended if there are more.
func (p *packs) done(found *findings) error {
	p.take(math.MaxInt64)
	for _, bath := range slices.Sorted(maps.Keys(p.open)) {
		p.left(p.open[bath])
	}
	for _, f := range p.strays {
		found.add(f)
	}
	return p.rows.Err()
}

// looseStrays tells of loose lines that are of no block.
func looseStrays(ctx context.Context, db *sql.DB, found *findings) error {
	rows, err := db.QueryContext(ctx, "SELECT leaf FROM loose WHERE leaf NOT IN (SELECT leaf FROM block)")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var leaf int64
		if err := rows.Scan(&leaf); err != nil {
			return err
		}
		found.add(Finding{Kind: Order, Leaf: number(leaf), Expected: "loose lines of blocks", Found: "one of none"})
	}
	return rows.Err()
}

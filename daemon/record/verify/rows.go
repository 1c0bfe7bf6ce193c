package verify

import (
	"context"
	"database/sql"
	"fmt"
	"math"
)

// row is a leaf as the file keeps it: an entry, or a block of readings.
type row struct {
	leaf    int64
	isBlock bool
	entry   entryRow
	block   blockRow
	err     error // it could not even be read as a row
}

// blockRow is a row of the table block.
type blockRow struct {
	leaf, first, last, count, size int64
	bath                           string
	pack, at                       int64   // where its line is in which pack
	packed                         *packed // nil: its line is loose
	loose                          []byte
	gone                           bool // the line was thinned out; its hash is left
}

// rows goes through the entries by number and the blocks by leaf, and yields both
// in the order of their leaves.
type rows struct {
	baths          map[int64]string
	entries        *sql.Rows
	blocks         *sql.Rows
	packs          *packs
	entry, block   row
	entryOK, blkOK bool
}

const (
	entriesSQL = "SELECT seq, leaf, at_ms, wall_ms, bath, kind, body FROM entry ORDER BY seq"
	blocksSQL  = "SELECT k.leaf, k.bath, k.first, k.last, k.count, k.size, k.pack, k.at, l.data FROM block k LEFT JOIN loose l ON l.leaf = k.leaf ORDER BY k.leaf"
)

func openRows(ctx context.Context, db *sql.DB, baths map[int64]string) (*rows, error) {
	r := &rows{baths: baths}
	var err error
	if r.entries, err = db.QueryContext(ctx, entriesSQL); err != nil {
		return nil, err
	}
	if r.blocks, err = db.QueryContext(ctx, blocksSQL); err != nil {
		return nil, err
	}
	if r.packs, err = openPacks(ctx, db); err != nil {
		return nil, err
	}
	r.nextEntry()
	r.nextBlock()
	return r, nil
}

func (r *rows) close() {
	r.entries.Close()
	r.blocks.Close()
	r.packs.rows.Close()
}

// next returns the next leaf; false at the end. It is good until the next call.
func (r *rows) next(into *row) bool {
	switch {
	case r.entryOK && (!r.blkOK || r.entry.leaf <= r.block.leaf):
		*into = r.entry
		r.nextEntry()
	case r.blkOK:
		*into = r.block
		r.nextBlock()
	default:
		return false
	}
	return true
}

// err says why the rows ended, if not because there are no more.
func (r *rows) err() error {
	if err := r.entries.Err(); err != nil {
		return fmt.Errorf("read the entries: %w", err)
	}
	if err := r.blocks.Err(); err != nil {
		return fmt.Errorf("read the blocks of readings: %w", err)
	}
	return nil
}

func (r *rows) nextEntry() {
	if r.entryOK = r.entries.Next(); !r.entryOK {
		return
	}
	r.entry = row{}
	e := &r.entry.entry
	var bath sql.NullInt64
	var body sql.RawBytes
	r.entry.err = r.entries.Scan(&e.seq, &e.leaf, &e.atMS, &e.wallMS, &bath, &e.kind, &body)
	e.body, r.entry.leaf = append([]byte(nil), body...), e.leaf
	if r.entry.err == nil && bath.Valid {
		e.bath, r.entry.err = r.bathOf(bath.Int64)
	}
}

func (r *rows) nextBlock() {
	if r.blkOK = r.blocks.Next(); !r.blkOK {
		return
	}
	r.block = row{isBlock: true}
	b := &r.block.block
	var bath int64
	var pack sql.NullInt64
	r.block.err = r.blocks.Scan(&b.leaf, &bath, &b.first, &b.last, &b.count, &b.size, &pack, &b.at, &b.loose)
	b.pack, b.gone, r.block.leaf = pack.Int64, !pack.Valid, b.leaf
	if r.block.err != nil {
		return
	}
	if b.bath, r.block.err = r.bathOf(bath); r.block.err == nil {
		r.block.err = r.packs.claim(b, bath)
	}
}

func (r *rows) bathOf(id int64) (string, error) {
	name, ok := r.baths[id]
	if !ok {
		return "", fmt.Errorf("it is of bath number %d, which the record does not name", id)
	}
	return name, nil
}

// readBaths reads the names of the baths by number.
func readBaths(ctx context.Context, db *sql.DB) (map[int64]string, error) {
	rows, err := db.QueryContext(ctx, "SELECT id, name FROM bath")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	baths := map[int64]string{}
	for rows.Next() {
		var id int64
		var name string
		if err := rows.Scan(&id, &name); err != nil {
			return nil, err
		}
		baths[id] = name
	}
	return baths, rows.Err()
}

// keptHashes goes through the hashes of the tree by number.
type keptHashes struct {
	rows  *sql.Rows
	id    int64 // of the row that was read last; MaxInt64 at the end
	hash  []byte
	stray int64 // hashes that were passed over
}

func openHashes(ctx context.Context, db *sql.DB) (*keptHashes, error) {
	rows, err := db.QueryContext(ctx, "SELECT id, hash FROM hash ORDER BY id")
	if err != nil {
		return nil, err
	}
	k := &keptHashes{rows: rows, id: math.MinInt64}
	k.advance()
	return k, nil
}

func (k *keptHashes) advance() {
	var raw sql.RawBytes
	if !k.rows.Next() {
		k.id = math.MaxInt64
		return
	}
	before := k.id
	if err := k.rows.Scan(&k.id, &raw); err != nil {
		k.id, raw = before, nil
	}
	k.hash = append(k.hash[:0], raw...)
}

// take returns hash number id; false if the record does not keep it.
func (k *keptHashes) take(id int64) (h hash, ok bool) {
	for k.id < id {
		k.stray++
		k.advance()
	}
	if k.id != id {
		return h, false
	}
	ok = len(k.hash) == len(h)
	copy(h[:], k.hash)
	k.advance()
	return h, ok
}

// rest returns how many hashes are kept beyond those that were taken.
func (k *keptHashes) rest() int64 {
	n := k.stray
	for k.id != math.MaxInt64 {
		n++
		k.advance()
	}
	return n
}

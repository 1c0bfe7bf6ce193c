package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// packRoom is how many bytes the lines that are packed together may take: what
// fits into a page of the file with its row (sqlite.org/fileformat2.html, 1.6: 4061
// bytes of a row lie in a page of 4096), so that no page is left half empty. That is
// some twenty minutes of a lit bath. Of one whose probes say always the same it would
// be hours; packLines is the end, for whoever wants one line has to unpack all.
const (
	packRoom  = 4061 - 13
	packLines = 30
)

// pack is a row of the table pack: lines of one bath, one straight after the other.
type pack struct {
	id   int64
	size int64
	data []byte
	text []byte // data unpacked, once somebody wanted a line of it
	// wanted says that lines of it were read that are not loose.
	wanted bool
}

// putLine puts the line of a new block of a bath with the loose ones that it will be
// packed with, within a transaction, and returns where it will be. If there is no
// room for it, they are packed, and it begins the next pack.
func (r *Record) putLine(ctx context.Context, bath, leaf int64, line []byte) (pack, at int64, err error) {
	data, err := r.packer.pack(line)
	if err != nil {
		return 0, 0, err
	}
	if _, err := r.write.loose.ExecContext(ctx, leaf, data); err != nil {
		return 0, 0, err
	}
	before, err := r.looseOf(ctx, bath)
	if err != nil || len(before) == 0 {
		return leaf, 0, err
	}
	alone := len(data) // bytes of all lines, packed each by itself
	for _, k := range before {
		alone += len(k.data)
	}
	last := before[len(before)-1]
	pack, at = last.pack.id, last.at+last.size
	if alone <= packRoom && len(before) < packLines {
		return pack, at, nil // together they take less
	}
	text, err := r.together(before)
	if err != nil {
		// The record must go on; verifying it will say so.
		r.log.Error("a line that was sealed cannot be read; it is left as it is", "error", err)
		return leaf, 0, nil
	}
	if len(before) < packLines {
		if data, err = r.packer.pack(append(text, line...)); err != nil || len(data) <= packRoom {
			return pack, at, err
		}
	}
	return leaf, 0, r.putPack(ctx, before, text)
}

// looseOf returns the blocks whose lines wait for those to come.
func (r *Record) looseOf(ctx context.Context, bath int64) ([]packedBlock, error) {
	return readBlocks(ctx, r.conn, `WHERE k.leaf IN (SELECT leaf FROM loose) AND k.bath = ?1 AND k.pack =
		(SELECT k.pack FROM loose l JOIN block k ON k.leaf = l.leaf WHERE k.bath = ?1 ORDER BY l.leaf DESC LIMIT 1) ORDER BY k.leaf`, bath)
}

// together returns the lines of blocks one straight after the other.
func (r *Record) together(blocks []packedBlock) (text []byte, err error) {
	for i := range blocks {
		k := &blocks[i]
		if int64(len(text)) != k.at {
			return nil, fmt.Errorf("the line of leaf %d should come after %d bytes, not %d", k.leaf, k.at, len(text))
		}
		line, err := r.unpacker.lineOf(k)
		if err != nil {
			return nil, fmt.Errorf("leaf %d: %w", k.leaf, err)
		}
		text = append(text, line...)
	}
	return text, nil
}

// putPack packs the lines of blocks, which are text, together.
func (r *Record) putPack(ctx context.Context, blocks []packedBlock, text []byte) error {
	data, err := r.packer.pack(text)
	if err != nil {
		return err
	}
	if _, err := r.write.pack.ExecContext(ctx, blocks[0].pack.id, len(text), data); err != nil {
		return err
	}
	for _, k := range blocks {
		if _, err := r.write.packed.ExecContext(ctx, k.leaf); err != nil {
			return err
		}
	}
	return nil
}

// readBlocks reads blocks with what their lines are in, each pack once. It must
// run within a transaction, or on the connection that writes: lines move.
func readBlocks(ctx context.Context, q querier, which string, args ...any) (blocks []packedBlock, err error) {
	rows, err := q.QueryContext(ctx, `SELECT k.leaf, k.first, k.last, k.size, coalesce(k.pack, -1), k.at, l.data
		FROM block k LEFT JOIN loose l ON l.leaf = k.leaf `+which, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	packs := map[int64]*pack{}
	for rows.Next() {
		var k packedBlock
		var id int64
		if err := rows.Scan(&k.leaf, &k.first, &k.last, &k.size, &id, &k.at, &k.data); err != nil {
			return nil, err
		}
		if id >= 0 {
			if packs[id] == nil {
				packs[id] = &pack{id: id}
			}
			k.pack = packs[id]
			packs[id].wanted = packs[id].wanted || k.data == nil
		}
		blocks = append(blocks, k)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	return blocks, fetch(ctx, q, packs)
}

// fetch reads the packs that are wanted, by id. A missing one stays empty: it is
// an error only for whoever wants a line of it.
func fetch(ctx context.Context, q querier, packs map[int64]*pack) error {
	for id, p := range packs {
		if !p.wanted {
			continue
		}
		err := q.QueryRowContext(ctx, "SELECT size, data FROM pack WHERE id = ?", id).Scan(&p.size, &p.data)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return fmt.Errorf("read pack %d: %w", id, err)
		}
	}
	return nil
}

// lineOf returns the line of a block. It is good until the next call.
func (u *unpacker) lineOf(k *packedBlock) ([]byte, error) {
	if k.data != nil {
		line, err := u.unpack(u.line, k.data, k.size)
		u.line = line
		return line, err
	}
	p := k.pack
	if p.text == nil {
		text, err := u.unpack(nil, p.data, p.size)
		if err != nil {
			return nil, err
		}
		p.text = text
	}
	if end := k.at + k.size; k.at < 0 || k.size < 0 || end < k.at || end > p.size {
		return nil, fmt.Errorf("bytes %d to %d of a pack of %d were asked for", k.at, end, p.size)
	}
	return p.text[k.at : k.at+k.size], nil
}

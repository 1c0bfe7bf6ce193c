package verify

import (
	"context"
	"database/sql"
	"errors"
	"math"
	"slices"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/fold"
)

// configBefore returns what a bath's rules went by before an entry; nil if
// nothing was said yet.
func configBefore(ctx context.Context, conn *sql.Conn, bath, seq int64) (*rules.Config, error) {
	var e record.Entry
	var body []byte
	err := conn.QueryRowContext(ctx, "SELECT seq, kind, body FROM entry WHERE kind = 'config' AND bath = ? AND seq < ? ORDER BY seq DESC LIMIT 1", bath, seq).Scan(&e.Seq, &e.Kind, &body)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	e.Body = body
	var c record.Config
	if err := e.Decode(&c); err != nil {
		return nil, err
	}
	return &c.Config, nil
}

// pastOf reads the inputs of a batch, from its opening to an entry, that count
// without the one that is voided; found says whether that was one of them.
func pastOf(ctx context.Context, db *sql.DB, f *follower, s segment, before, voids int64) (past []fold.Past, found bool, err error) {
	conn, err := db.Conn(ctx)
	if err != nil {
		return nil, false, err
	}
	defer conn.Close()
	stream := openStream(ctx, conn, s.bath, s.id, f.batchFrom, before)
	defer func() { err = errors.Join(err, stream.close()) }()
	p := history{cfg: f.batchCfg}
	for stream.comes() != nothing {
		if stream.comes() == aReading {
			p.add(stream.readSeq, stream.reading)
			stream.nextReading()
			continue
		}
		if err := p.take(stream.entry); err != nil {
			return nil, false, err
		}
		stream.nextEntry()
	}
	if stream.ends < math.MaxInt64 {
		return nil, false, errors.New("what it would be folded from is not all there")
	}
	found = p.void(voids)
	return p.past, found, nil
}

// history is the inputs of a batch that still count.
type history struct {
	cfg  *rules.Config
	past []fold.Past
	seqs []int64
}

func (h *history) add(seq int64, in rules.Input) {
	h.past, h.seqs = append(h.past, fold.Past{Config: h.cfg, Input: in}), append(h.seqs, seq)
}

func (h *history) void(seq int64) bool {
	i, found := slices.BinarySearch(h.seqs, seq)
	if found {
		h.past, h.seqs = slices.Delete(h.past, i, i+1), slices.Delete(h.seqs, i, i+1)
	}
	return found
}

func (h *history) take(e record.Entry) error {
	switch e.Kind {
	case record.KindConfig:
		var c record.Config
		err := e.Decode(&c)
		h.cfg = &c.Config
		return err
	case record.KindCorrection:
		var c record.Correction
		err := e.Decode(&c)
		h.void(c.Voids)
		return err
	}
	in, ok, err := e.Input()
	if ok {
		h.add(e.Seq, in)
	}
	return err
}

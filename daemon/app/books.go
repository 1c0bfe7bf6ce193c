package app

import (
	"context"
	"fmt"

	"bainward/daemon/record"
	"bainward/rules/batch/ledger"
)

// ReadBooks keeps the books of goods as a record tells them. misfits are entries
// that do not fit those before them, which this program would have refused: they
// are left out, and must be told to a person.
func ReadBooks(ctx context.Context, r *record.Reader) (l *ledger.Ledger, misfits []error, err error) {
	entries, err := r.Goods(ctx)
	if err != nil {
		return nil, nil, err
	}
	stored, err := r.OfKind(ctx, record.KindStorage)
	if err != nil {
		return nil, nil, err
	}
	where, err := readClocks(ctx, r)
	if err != nil {
		return nil, nil, err
	}
	l = new(ledger.Ledger)
	for _, e := range append(entries, stored...) {
		if err := keep(l, e, where); err != nil {
			misfits = append(misfits, fmt.Errorf("entry %d (%s) does not fit and is left out: %w", e.Seq, e.Kind, err))
		}
	}
	return l, misfits, nil
}

// keep enters one entry of the record into the books; most entries do not concern
// them. Its day is that of the site's clocks.
func keep(l *ledger.Ledger, e record.Entry, where clocks) error {
	if e.Kind == record.KindCorrection {
		var c record.Correction
		if err := e.Decode(&c); err != nil {
			return err
		}
		if _, goods := l.Has(c.Voids); !goods {
			return nil // an event of a bath
		}
		return l.Void(c.Voids)
	}
	if e.Kind == record.KindStorage {
		s, err := e.Stored()
		if err != nil {
			return err
		}
		return l.Store(s)
	}
	f, ok, err := e.Fact()
	if err != nil || !ok {
		return err
	}
	f.Day = where.day(e.Seq, e.Wall)
	return l.Enter(f)
}

package verify

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"slices"
)

// start is where a run of readings begins: its first reading and the instants of
// that. Open readings count from it, and it stays when they are sealed. Then it says
// nothing that the lines do not say, but what stands in a record is to be true.
type start struct {
	first, atMS, wallMS int64
	seen                bool // its reading was there
}

func readStarts(ctx context.Context, db *sql.DB) ([]start, error) {
	rows, err := db.QueryContext(ctx, "SELECT first, at_ms, wall_ms FROM stretch ORDER BY first")
	if err != nil {
		return nil, fmt.Errorf("read where runs of readings begin: %w", err)
	}
	defer rows.Close()
	var all []start
	for rows.Next() {
		var s start
		if err := rows.Scan(&s.first, &s.atMS, &s.wallMS); err != nil {
			return nil, fmt.Errorf("read where runs of readings begin: %w", err)
		}
		all = append(all, s)
	}
	return all, rows.Err()
}

// begins holds the starts that lie among the readings of a block, or of one open
// reading, against them.
func (a *auditor) begins(bath string, seq, at, ahead []int64) {
	if len(seq) == 0 {
		return
	}
	i, _ := slices.BinarySearchFunc(a.starts, seq[0], func(s start, seq int64) int { return cmp.Compare(s.first, seq) })
	for ; i < len(a.starts) && a.starts[i].first <= seq[len(seq)-1]; i++ {
		s := &a.starts[i]
		n, ok := slices.BinarySearch(seq, s.first)
		if !ok {
			continue // of another bath
		}
		s.seen = true
		if s.atMS != at[n] || s.wallMS != at[n]+ahead[n] {
			a.found.add(Finding{
				Kind: Order, Entry: s.first, Bath: bath,
				Expected: fmt.Sprintf("a run of readings that begins with its first, %d ms after the start of the record and %d ms after 1970", at[n], at[n]+ahead[n]),
				Found:    fmt.Sprintf("one that begins at %d and %d ms", s.atMS, s.wallMS),
			})
		}
	}
}

// neverBegan tells of starts whose reading is not there, and was not thinned out.
func (a *auditor) neverBegan() {
	excused := merged(append(slices.Clone(a.timeline.unknown), a.timeline.gone...))
	for _, s := range a.starts {
		if s.seen || slices.ContainsFunc(excused, func(e span) bool { return e.from <= s.first && s.first <= e.to }) {
			continue
		}
		a.found.add(Finding{
			Kind: Order, Entry: s.first,
			Expected: "a reading with which a run of readings begins", Found: fmt.Sprintf("number %d, which is none", s.first),
		})
	}
}

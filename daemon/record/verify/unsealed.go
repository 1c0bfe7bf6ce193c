package verify

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"bainward/sensors"
)

// openReading is a reading that is in no block yet.
type openReading struct {
	seq, atMS, wallMS int64
	bath              sql.NullString
	frame             sensors.Frame
}

const openSQL = `
SELECT r.seq, (SELECT name FROM bath WHERE id = r.bath), s.at_ms + r.at, s.wall_ms + r.at + r.wall, r.oil, r.bath_, r.room, r.pressure
FROM reading r LEFT JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq) `

var errNoInstant = errors.New("nothing says when it was: no stretch is for it")

// scanOpen reads a row of openSQL.
func scanOpen(rows *sql.Rows, faults map[string]sensors.Fault) (r openReading, err error) {
	var at, wall sql.NullInt64
	var cells [sensors.RoleCount + 1]any
	if err := rows.Scan(&r.seq, &r.bath, &at, &wall, &cells[0], &cells[1], &cells[2], &cells[3]); err != nil {
		return r, err
	}
	if !at.Valid || !wall.Valid {
		return r, errNoInstant
	}
	r.atMS, r.wallMS = at.Int64, wall.Int64
	b := block{step: 1}
	for i, c := range cells {
		v, err := valueOf(c, faults)
		if err != nil {
			return r, fmt.Errorf("%s: %w", listName(i), err)
		}
		b.values[i] = []value{v}
	}
	b.seq, b.at, b.ahead = []int64{r.seq}, []int64{r.atMS}, []int64{r.wallMS - r.atMS}
	if err := b.check(); err != nil {
		return r, err
	}
	b.frame(0, &r.frame)
	return r, nil
}

func valueOf(cell any, faults map[string]sensors.Fault) (value, error) {
	switch c := cell.(type) {
	case int64:
		return value{n: c}, nil
	case nil:
		return value{fault: sensors.NotFitted}, nil
	case string:
		if f, ok := faults[c]; ok {
			return value{fault: f}, nil
		}
	}
	return value{}, fmt.Errorf("%v is no value and no fault", cell)
}

// openReadings counts the readings that are not sealed and puts them in their
// order. It comes before the leaves: an open reading can be much older than the
// last of them, and the timeline need not wait for it then.
func (v *verifier) openReadings(ctx context.Context, a *auditor) error {
	rows, err := v.file.db.QueryContext(ctx, openSQL+"ORDER BY r.seq")
	if err != nil {
		return fmt.Errorf("read the open readings: %w", err)
	}
	defer rows.Close()
	faults := faultWords()
	for rows.Next() {
		r, err := scanOpen(rows, faults)
		if err == nil && !r.bath.Valid {
			err = errors.New("it is of a bath that the record does not name")
		}
		if err != nil {
			a.found.add(Finding{Kind: UnreadableLine, Entry: r.seq, Bath: r.bath.String, Found: "an open reading: " + strings.TrimSpace(err.Error())})
		}
		a.timeline.put(r.seq, r.atMS, r.wallMS-r.atMS, aReading)
		a.begins(r.bath.String, []int64{r.seq}, []int64{r.atMS}, []int64{r.wallMS - r.atMS})
		a.totals.OpenReadings++
		a.totals.Readings++
		a.totals.saw(r.wallMS)
	}
	return rows.Err()
}

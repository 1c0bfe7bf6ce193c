package verify

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"

	"bainward/daemon/record"
)

// segment is a part of a bath's log that can be folded by itself, because the
// state of the bath at its beginning follows from itself: the event that opens a
// batch resets everything, and so does a restart while no batch is open.
type segment struct {
	bath    string
	id      int64 // of the bath
	from    int64 // number of the entry that it begins with
	opens   bool  // it begins with the opening of a batch, not at a restart
	until   int64 // number of the entry that the next begins with; MaxInt64: to the end
	beyond  bool  // the next opens a batch: what its opening event changes is judged here, too
	version string
	// Where the same bath's segments before and after it are; -1: there is none.
	before, next int
}

// begins are the entries at which a bath's segments may begin.
const beginsSQL = `
SELECT seq, bath, kind, body FROM entry
WHERE kind = 'batch' AND bath IS NOT NULL OR kind = 'restart' AND bath IS NULL ORDER BY seq`

// segments cuts the log of every bath where it can be cut.
func (v *verifier) segments(ctx context.Context) ([]segment, error) {
	rows, err := v.file.db.QueryContext(ctx, beginsSQL)
	if err != nil {
		return nil, fmt.Errorf("look for batches and restarts: %w", err)
	}
	defer rows.Close()
	c := cutter{open: map[int64]bool{}, last: map[int64]int{}}
	for _, id := range slices.Sorted(maps.Keys(v.baths)) {
		c.begin(id, segment{bath: v.baths[id], id: id, from: 1})
	}
	for rows.Next() {
		var seq int64
		var bath *int64
		var kind string
		var body []byte
		if err := rows.Scan(&seq, &bath, &kind, &body); err != nil {
			return nil, err
		}
		if kind == string(record.KindRestart) {
			c.restart(v.baths, seq, body)
		} else {
			c.batch(v.baths, seq, *bath, body)
		}
	}
	return c.all, rows.Err()
}

// cutter cuts as it goes through the entries.
type cutter struct {
	all     []segment
	open    map[int64]bool // a batch of the bath is open
	last    map[int64]int  // where in all the bath's last segment is
	version string
}

func (c *cutter) begin(id int64, s segment) {
	s.version, s.before, s.next, s.until = c.version, -1, -1, math.MaxInt64
	if i, ok := c.last[id]; ok {
		c.all[i].until, c.all[i].beyond, c.all[i].next = s.from, s.opens, len(c.all)
		s.before = i
	}
	c.last[id] = len(c.all)
	c.all = append(c.all, s)
}

func (c *cutter) restart(baths map[int64]string, seq int64, body []byte) {
	var b struct{ Version string }
	if json.Unmarshal(body, &b) == nil {
		c.version = b.Version
	}
	for _, id := range slices.Sorted(maps.Keys(baths)) {
		if !c.open[id] {
			c.begin(id, segment{bath: baths[id], id: id, from: seq})
		}
	}
}

func (c *cutter) batch(baths map[int64]string, seq, id int64, body []byte) {
	var b struct{ State string }
	if json.Unmarshal(body, &b) != nil {
		return
	}
	if c.open[id] = b.State == record.Opened; c.open[id] {
		c.begin(id, segment{bath: baths[id], id: id, from: seq, opens: true})
	}
}

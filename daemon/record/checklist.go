package record

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// KindChecklist is the kind of a Checklist. The rules do not take it in.
const KindChecklist Kind = "checklist"

// Checklist is what somebody saw to before the heat was lit. It is always whole:
// what was not seen to stands in it as not done. Its entry is of the bath.
type Checklist struct {
	// Batch is the number of the batch in hand; empty if none was open, and then
	// Checklists says to which it belongs.
	Batch string    `json:"batch,omitempty"`
	Items []Checked `json:"items"`
	By    string    `json:"by,omitempty"`
}

// Checked is one item of a checklist.
type Checked struct {
	Key  string `json:"key"` // a word of rules/batch/guide, which says what was read
	Done bool   `json:"done"`
	// Known is how the daemon knows, where nobody had to be asked.
	Known string `json:"known,omitempty"`
}

// Kind returns KindChecklist.
func (Checklist) Kind() Kind { return KindChecklist }

func (b Checklist) check() error {
	if len(b.Items) == 0 {
		return errors.New("the checklist holds nothing")
	}
	seen := map[string]bool{}
	for _, i := range b.Items {
		switch {
		case i.Key == "":
			return errors.New("an item of the checklist has no key")
		case seen[i.Key]:
			return fmt.Errorf("the checklist holds %q twice", i.Key)
		}
		seen[i.Key] = true
	}
	return nil
}

// Ticked is a checklist as it was entered.
type Ticked struct {
	Checklist        // Batch is the one to which it belongs; empty while it waits for one
	Seq       int64  // number of its entry
	Bath      string // of its entry
	At        time.Duration
	Wall      time.Time
}

// ChecklistFor is how long, by offsets, a checklist that was entered before any
// batch was open waits for one: what was clean and at hand in the morning is not
// taken to be so the next day (own choice, no source).
const ChecklistFor = 12 * time.Hour

// Checklists says which checklist belongs to which batch. The zero value knows of
// none; Take tells it the entries of a record in their order.
//
// A checklist that names a batch belongs to it. One that names none belongs to the
// next batch that is opened on its bath, if that is within ChecklistFor. Of several
// that belong to one batch the last counts.
type Checklists struct {
	of      map[string]Ticked // by batch
	waiting map[string]Ticked // by bath
}

// Take tells c the next entry. Only checklists and the opening of batches concern
// it.
func (c *Checklists) Take(e Entry) error {
	switch e.Kind {
	case KindChecklist:
		var b Checklist
		if err := e.Decode(&b); err != nil {
			return err
		}
		c.enter(Ticked{Checklist: b, Seq: e.Seq, Bath: e.Bath, At: e.At, Wall: e.Wall})
	case KindBatch:
		var b Batch
		if err := e.Decode(&b); err != nil {
			return err
		}
		if b.State != Opened { // the next batch is prepared while the last one still closes
			return nil
		}
		if t, ok := c.Waiting(e.Bath, e.At); ok {
			t.Batch = b.Number
			c.enter(t)
		}
		delete(c.waiting, e.Bath)
	}
	return nil
}

func (c *Checklists) enter(t Ticked) {
	if c.of == nil {
		c.of, c.waiting = map[string]Ticked{}, map[string]Ticked{}
	}
	if t.Batch == "" {
		c.waiting[t.Bath] = t
		return
	}
	c.of[t.Batch] = t
}

// Of returns the checklist that counts for a batch; ok is false if it has none.
func (c *Checklists) Of(batch string) (t Ticked, ok bool) {
	t, ok = c.of[batch]
	return t, ok
}

// Waiting returns the checklist that would belong to a batch opened on the bath at
// at; ok is false if there is none.
func (c *Checklists) Waiting(bath string, at time.Duration) (t Ticked, ok bool) {
	t, ok = c.waiting[bath]
	return t, ok && at-t.At <= ChecklistFor
}

// Checklists reads which checklist belongs to which batch. The entries are few,
// and found through the index.
func (r *Reader) Checklists(ctx context.Context) (*Checklists, error) {
	rows, err := r.db.QueryContext(ctx, entrySQL+"WHERE kind IN ('batch', 'checklist') ORDER BY seq")
	if err != nil {
		return nil, fmt.Errorf("read checklists: %w", err)
	}
	defer rows.Close()
	all := new(Checklists)
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		if err := all.Take(e); err != nil {
			return nil, err
		}
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read checklists: %w", err)
	}
	return all, nil
}

package app

import (
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// deed notes what was done, and who opened and ended the batch.
func (t *retelling) deed(e record.Entry) error {
	var b record.Event
	if err := e.Decode(&b); err != nil {
		return err
	}
	did, err := b.Event()
	if err != nil {
		return err
	}
	d := ledger.Deed{Entry: e.Seq, When: e.Wall, Text: b.Text, Who: b.By}
	if c, void := t.void[e.Seq]; void {
		d.Voided, d.Why, d.VoidedBy = true, c.Reason, c.By
		t.course.Deeds = append(t.course.Deeds, d)
		return nil
	}
	t.course.Deeds = append(t.course.Deeds, d)
	if t.course.OpenedBy == "" {
		t.course.OpenedBy = b.By
	}
	if did.Kind == rules.Bottle || did.Kind == rules.Abandon {
		t.course.EndedBy = b.By
	}
	return nil
}

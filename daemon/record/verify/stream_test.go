package verify

import (
	"strings"
	"testing"
)

// What a segment of a bath is folded from is read as it comes: nothing gathers and
// sorts the rest of the record first, once a batch.
func TestASegmentIsReadAsItComes(t *testing.T) {
	o := must(open(t.Context(), soundRecords(t)["by the daemon"].path))
	defer o.close()
	for _, query := range []string{bathBlocksSQL, bathOpenSQL, bathEntriesSQL} {
		rows := must(o.db.QueryContext(t.Context(), "EXPLAIN QUERY PLAN "+query, 0, 1, 1000))
		steps := 0
		for rows.Next() {
			var id, parent, unused int
			var step string
			if err := rows.Scan(&id, &parent, &unused, &step); err != nil {
				t.Fatal(err)
			}
			if steps++; strings.Contains(step, "TEMP B-TREE") || strings.HasPrefix(step, "SCAN") {
				t.Errorf("%s: %s", step, query)
			}
		}
		if err := rows.Close(); err != nil || steps == 0 {
			t.Errorf("%d steps, %v: %s", steps, err, query)
		}
	}
}

package verify

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
)

// thin thins out blocks of north that lie before its first batch, and says so.
func (s *scribe) thin(y *yard, blocks int) {
	s.t.Helper()
	rows := must(s.tx.Query("SELECT k.leaf, k.first, k.last, k.count, k.size, p.size, p.data FROM block k JOIN pack p ON p.id = k.pack WHERE k.bath = (SELECT id FROM bath WHERE name = 'north') ORDER BY k.leaf LIMIT ?", blocks))
	var says struct {
		First  int64           `json:"first"`
		Last   int64           `json:"last"`
		Count  int64           `json:"count"`
		Leaves []int64         `json:"leaves"`
		Every  time.Duration   `json:"every_ns"`
		Kept   json.RawMessage `json:"kept"`
	}
	says.Every = time.Minute
	y.checkpoint()
	var in inflater
	for rows.Next() {
		var leaf, first, count, size, packSize int64
		var data []byte
		if err := rows.Scan(&leaf, &first, &says.Last, &count, &size, &packSize, &data); err != nil {
			s.t.Fatal(err)
		}
		if says.Count == 0 {
			says.First = first
			line := string(must(in.line(data, packSize))[:size])
			says.Kept = json.RawMessage(fmt.Sprintf(`{"leaf":%d%s`, s.leaves, line[strings.Index(line, ","):]))
		}
		says.Count += count
		says.Leaves = append(says.Leaves, leaf)
	}
	rows.Close()
	y.raw("north", "thinned", string(must(json.Marshal(says))))
	y.write()
	for _, leaf := range says.Leaves {
		must(s.tx.Exec("DELETE FROM pack WHERE id = ?", leaf))
		must(s.tx.Exec("UPDATE block SET pack = NULL WHERE leaf = ?", leaf))
	}
}

// idleThenABatch is an idle hour and then a batch, under a checkpoint.
func idleThenABatch(t testing.TB, b book) *yard {
	y := newYard(t, b, "north", "south")
	y.raw("", "key", `{"vkey":""}`)
	y.start("test")
	y.poll(10*time.Second, time.Hour)
	y.did(0, "fill 1.85 kg; charge 220 g; light")
	y.poll(10*time.Second, 30*time.Minute)
	y.did(0, "strain")
	y.checkpoint()
	return y
}

// The daemon thins out the idle hour, and its record is sound afterwards.
func TestWhatTheDaemonThinsOutIsSound(t *testing.T) {
	l := newLedger(t)
	y := idleThenABatch(t, l)
	for {
		_, ok, err := l.Thin(t.Context(), y.at, y.wall(), record.Thinning{Before: y.wall(), Every: time.Minute})
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			break
		}
	}
	r := verified(t, l.close().path, Options{Version: "test"})
	if !r.Clean || r.Totals.Thinned < 300 || r.Totals.Readings+r.Totals.Thinned != 2*540 || !told(r, AboutThinned) || r.Totals.Followed < 20 {
		t.Errorf("%+v\n%+v\n%+v", r.Findings, r.Totals, r.Notes)
	}
}

// Readings that were thinned out leave a record sound: the tree holds, the numbers
// add up, the batch after them is folded, and what cannot be seen is told.
func TestAThinnedRecordIsSound(t *testing.T) {
	s := newScribe(t, t.TempDir())
	s.thin(idleThenABatch(t, s), 40)
	r := verified(t, s.close(), Options{Version: "test"})
	if !r.Clean || r.Totals.Thinned != 240 || r.Totals.Readings != 2*540-240 || !told(r, AboutThinned) || r.Totals.Followed < 20 {
		t.Errorf("%+v\n%+v\n%+v", r.Findings, r.Totals, r.Notes)
	}
}

// Readings of a batch, or such as nobody signed, are never thinned out.
func TestABatchIsNotThinnedOut(t *testing.T) {
	s := newScribe(t, t.TempDir())
	s.thin(idleThenABatch(t, s), 70) // sixty are of the idle hour
	r := verified(t, s.close(), Options{Version: "test"})
	if len(r.Findings) != 1 || r.Findings[0].Kind != MissingNumber || r.Findings[0].Expected != "readings of a batch, which are never thinned out" {
		t.Errorf("found %+v", r.Findings)
	}
}

// Whoever thins out more than is said, or says it wrongly, is found.
func TestThinningThatIsNotSaidIsFound(t *testing.T) {
	for what, c := range map[string]struct {
		statement string
		named     Kind
	}{
		"not said at all":   {"UPDATE block SET pack = NULL WHERE leaf = (SELECT max(leaf) FROM block)", UnreadableLine},
		"another count":     {"UPDATE block SET count = count - 1 WHERE leaf = (SELECT min(leaf) FROM block WHERE pack IS NULL)", MissingNumber},
		"other numbers":     {"UPDATE block SET last = last + 2 WHERE leaf = (SELECT max(leaf) FROM block WHERE pack IS NULL)", UnreadableLine},
		"with its hash":     {"DELETE FROM hash WHERE id = (SELECT id FROM hash ORDER BY id LIMIT 1 OFFSET 60)", TreeHash},
		"and its row, too":  {"DELETE FROM block WHERE leaf = (SELECT min(leaf) FROM block WHERE pack IS NULL)", MissingNumber},
		"of another bath's": {"UPDATE block SET bath = 1 - bath WHERE pack IS NULL", UnreadableLine},
	} {
		t.Run(what, func(t *testing.T) {
			s := newScribe(t, t.TempDir())
			s.thin(idleThenABatch(t, s), 40)
			k := kept{path: s.close()}.copied(t, c.statement)
			var named []string
			for _, f := range verified(t, k.path, Options{Version: "test"}).Findings {
				if f.Kind == c.named {
					return
				}
				named = append(named, fmt.Sprint(f))
			}
			t.Errorf("found %s, want one named %s", strings.Join(named, "\n"), c.named)
		})
	}
}

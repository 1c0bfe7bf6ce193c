package verify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"bainward/daemon/record"
	"bainward/sensors"

	sumnote "golang.org/x/mod/sumdb/note"
)

// tampering is one thing that somebody may do to a record.
type tampering struct {
	what     string
	caughtBy string
	named    Kind
	do       func(t *testing.T, k kept) kept
	with     func(t *testing.T, sound kept, o *Options) // what the auditor has
}

func same(all []record.Entry) []record.Entry { return all }

// edit returns a change of one entry's body.
func edit(t *testing.T, kind record.Kind, n int, from, to string) func([]record.Entry) []record.Entry {
	return func(all []record.Entry) []record.Entry {
		e := &all[find(t, all, kind, n)]
		body := bytes.Replace(e.Body, []byte(from), []byte(to), 1)
		if bytes.Equal(body, e.Body) {
			t.Fatalf("no %s in %s", from, e.Body)
		}
		e.Body = body
		return all
	}
}

// hotter returns a change of one reading.
func hotter(t *testing.T, n int, celsius float64) func([]record.Entry) []record.Entry {
	return func(all []record.Entry) []record.Entry {
		all[find(t, all, record.KindReading, n)].Frame.Probes[sensors.Oil] = sensors.AtCelsius(celsius)
		return all
	}
}

// heldLast gives the auditor the last checkpoint of the sound record.
func heldLast(t *testing.T, sound kept, o *Options) {
	o.Held = append(o.Held, must(ParseHeld("the safe", sound.notes[len(sound.notes)-1])))
}

// heldPaper gives the auditor the same, typed from paper.
func heldPaper(t *testing.T, sound kept, o *Options) {
	lines := strings.Split(sound.notes[len(sound.notes)-1], "\n")
	var size int64
	fmt.Sscan(lines[1], &size)
	o.Held = append(o.Held, must(HeldOf("paper", size, lines[2])))
}

func heldKey(t *testing.T, sound kept, o *Options) { o.Key = sound.key() }

func nothingHeld(*testing.T, kept, *Options) {}

// Some places in the middle of a record, for SQL.
const (
	anEntryThere = "(SELECT seq FROM entry ORDER BY seq LIMIT 1 OFFSET 40)"
	theNextThere = "(SELECT seq FROM entry ORDER BY seq LIMIT 1 OFFSET 41)"
	aBlockThere  = "(SELECT leaf FROM block ORDER BY leaf LIMIT 1 OFFSET 5)"
)

func tamperings() []tampering {
	sql := func(statements ...string) func(*testing.T, kept) kept {
		return func(t *testing.T, k kept) kept { return k.copied(t, statements...) }
	}
	// mine rewrites with the true keys: what somebody can do who has them.
	mine := func(change func(t *testing.T) func([]record.Entry) []record.Entry) func(*testing.T, kept) kept {
		return func(t *testing.T, k kept) kept { return k.rewritten(t, k.privates, change(t)) }
	}
	return []tampering{
		{"an entry dropped", "numbers", MissingNumber, sql("DELETE FROM entry WHERE seq = " + anEntryThere + ""), nothingHeld},
		{"a block of readings dropped", "numbers", MissingNumber, sql("DELETE FROM block WHERE leaf = " + aBlockThere), nothingHeld},
		{"an entry put in that shares a number", "numbers", NumberTwice, func(t *testing.T, k kept) kept {
			return k.copied(t, "INSERT INTO entry SELECT (SELECT first FROM block WHERE leaf = "+aBlockThere+"), (SELECT max(leaf) + 1 FROM entry), at_ms, wall_ms, bath, kind, body FROM entry WHERE seq = "+anEntryThere)
		}, nothingHeld},
		{"two entries swapped", "leaf hashes", LeafHash, sql(
			"UPDATE entry SET (kind, body) = (SELECT kind, body FROM entry e WHERE e.seq = " + anEntryThere + " + " + theNextThere + " - entry.seq) WHERE seq IN (" + anEntryThere + ", " + theNextThere + ")"), nothingHeld},
		{"two leaves swapped", "order of leaves", NumberTwice, sql(
			"UPDATE entry SET leaf = (SELECT leaf FROM entry e WHERE e.seq = " + anEntryThere + " + " + theNextThere + " - entry.seq) WHERE seq IN (" + anEntryThere + ", " + theNextThere + ")"), nothingHeld},
		{"a word of an entry changed", "leaf hash", LeafHash, sql(`UPDATE entry SET body = replace(body, 'Robin', 'Sorrel') WHERE seq = (SELECT seq FROM entry WHERE kind = 'event' LIMIT 1)`), nothingHeld},
		{"a time of day changed", "leaf hash", LeafHash, sql("UPDATE entry SET wall_ms = wall_ms - 3600000 WHERE seq = " + anEntryThere), nothingHeld},
		{"a bath renamed", "leaf hashes", LeafHash, sql("UPDATE bath SET name = 'west' WHERE name = 'south'"), nothingHeld},
		{"the lines of one bath put in another's place", "leaf hash", LeafHash, sql("UPDATE pack SET (size, data) = (SELECT size, data FROM pack p ORDER BY id DESC LIMIT 1) WHERE id = (SELECT min(id) FROM pack)"), nothingHeld},
		{"a reading changed in its pack", "leaf hash", LeafHash, func(t *testing.T, k kept) kept {
			return k.repacked(t, func(text []byte) []byte { return bytes.Replace(text, []byte(`"oil":[32`), []byte(`"oil":[33`), 1) })
		}, nothingHeld},
		{"something put into a pack, of no block", "packs", Order, func(t *testing.T, k kept) kept {
			return k.repacked(t, func(text []byte) []byte { return append(text, "what nobody said"...) })
		}, nothingHeld},
		{"a pack put in, of no block", "packs", Order, sql("INSERT INTO pack SELECT id + 1, size, data FROM pack LIMIT 1"), nothingHeld},
		{"a loose line put in, of no block", "packs", Order, sql("INSERT INTO loose SELECT leaf + 100000, data FROM loose LIMIT 1"), nothingHeld},
		{"a loose line beside a packed one", "packs", UnreadableLine, sql("INSERT INTO loose SELECT " + aBlockThere + ", data FROM loose LIMIT 1"), nothingHeld},
		{"a pack dropped", "packs", UnreadableLine, sql("DELETE FROM pack WHERE id = (SELECT min(id) FROM pack)"), nothingHeld},
		{"a line outside its pack", "packs", UnreadableLine, sql("UPDATE block SET at = 1000000 WHERE leaf = " + aBlockThere), nothingHeld},
		{"the hash of a leaf changed", "leaf hash", LeafHash, sql("UPDATE hash SET hash = randomblob(32) WHERE id = 0"), nothingHeld},
		{"a hash of the tree changed", "tree hash", TreeHash, sql("UPDATE hash SET hash = randomblob(32) WHERE id = 30"), nothingHeld},
		{"a hash of the tree dropped", "tree hash", TreeHash, sql("DELETE FROM hash WHERE id = 61"), nothingHeld},
		{"the tail cut, hashes left", "number of hashes", MissingNumber, sql("DELETE FROM entry WHERE seq > 300", "DELETE FROM block WHERE first > 300 OR leaf > (SELECT max(leaf) FROM entry)"), nothingHeld},
		{"the tail cut with its hashes", "held checkpoint", CutShort, cutAt(300), heldLast},
		{"an old copy put in its place", "held checkpoint", CutShort, oldCopy, heldPaper},
		{"everything signed anew with another key", "true key", UnknownKey, func(t *testing.T, k kept) kept { return k.rewritten(t, []string{}, same) }, heldKey},
		{"the same, with a held checkpoint alone", "held checkpoint", UnknownKey, func(t *testing.T, k kept) kept { return k.rewritten(t, []string{}, same) }, heldLast},
		{"a reading changed, the tree built anew", "signed root", CheckpointRoot, func(t *testing.T, k kept) kept { return k.rewritten(t, nil, hotter(t, 100, 60)) }, nothingHeld},
		{"a reading changed, built and signed anew with the true key", "held checkpoint", AnotherHistory, mine(func(t *testing.T) func([]record.Entry) []record.Entry { return hotter(t, 4, 20.0625) }), heldLast},
		{"the same, against a checkpoint on paper", "held checkpoint", AnotherHistory, mine(func(t *testing.T) func([]record.Entry) []record.Entry { return hotter(t, 4, 20.0625) }), heldPaper},
		{"the same, with a cosignature in the record", "cosignature", AnotherHistory, cosignedThenChanged, nothingHeld},
		{"a reading changed that an alarm came from, all with the true key", "fold", DoesNotFollow, mine(func(t *testing.T) func([]record.Entry) []record.Entry { return hotter(t, 250, 120) }), nothingHeld},
		{"a finding changed, all with the true key", "fold", DoesNotFollow, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return edit(t, record.KindFinding, 8, `"level":"`, `"level":"raised","x":"`)
		}), nothingHeld},
		{"an alarm left out, all with the true key", "fold", DoesNotFollow, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return func(all []record.Entry) []record.Entry {
				i := find(t, all, record.KindAlarm, 2)
				return slices.Delete(all, i, i+1)
			}
		}), nothingHeld},
		{"a verdict changed, all with the true key", "fold", DoesNotFollow, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return func(all []record.Entry) []record.Entry {
				for i := range all {
					var b record.Batch
					if all[i].Kind == record.KindBatch && all[i].Decode(&b) == nil && b.State == record.Closed {
						all[i].Body = bytes.Replace(all[i].Body, []byte(`"`+b.Verdict+`"`), []byte(`"held"`), 1)
						break
					}
				}
				return all
			}
		}), nothingHeld},
		{"a finding of another version's rules", "fold", DoesNotFollowVersion, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return edit(t, record.KindFinding, 8, `"level":"`, `"level":"raised","x":"`)
		}), func(_ *testing.T, _ kept, o *Options) { o.Version = "v9" }},
		{"an event left out, all with the true key", "fold", DoesNotFollow, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return func(all []record.Entry) []record.Entry {
				i := slices.IndexFunc(all, func(e record.Entry) bool {
					return e.Kind == record.KindEvent && bytes.Contains(e.Body, []byte(`"strain"`))
				})
				return slices.Delete(all, i, i+1)
			}
		}), nothingHeld},
		{"an offset that goes back, all with the true key", "offsets", OffsetGoesBack, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return func(all []record.Entry) []record.Entry {
				all[find(t, all, record.KindEvent, 1)].At -= 5 * time.Minute
				return all
			}
		}), nothingHeld},
		{"the time of day moved from somewhere on, all with the true key", "clock", ClockJumps, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return func(all []record.Entry) []record.Entry {
				for i := find(t, all, record.KindReading, 80); i < len(all); i++ {
					all[i].Wall = all[i].Wall.Add(time.Hour)
					all[i].Frame.Wall = all[i].Frame.Wall.Add(time.Hour)
					if all[i].Kind != record.KindReading {
						all[i].Frame = sensors.Frame{}
					}
				}
				return all
			}
		}), nothingHeld},
		{"a body that says nothing, all with the true key", "bodies", UnreadableLine, mine(func(t *testing.T) func([]record.Entry) []record.Entry {
			return edit(t, record.KindPhase, 1, `"phase":"`, `"phase":"not-`)
		}), nothingHeld},
		{"a block that does not unpack", "blocks", UnreadableLine, sql("UPDATE pack SET data = substr(data, 1, length(data) - 6) WHERE id = (SELECT pack FROM block WHERE leaf = " + aBlockThere + ")"), nothingHeld},
		{"a run of readings begun at another instant", "starts of runs", Order, sql("INSERT INTO stretch SELECT first, 0, 0 FROM block WHERE leaf = " + aBlockThere + " ON CONFLICT DO UPDATE SET at_ms = at_ms + 1000"), nothingHeld},
		{"a run of readings begun with none", "starts of runs", Order, sql("INSERT INTO stretch VALUES (" + anEntryThere + ", 0, 0)"), nothingHeld},
		{"a column beside a block changed", "blocks", UnreadableLine, sql("UPDATE block SET last = last + 1 WHERE leaf = " + aBlockThere), nothingHeld},
		{"the signature of a checkpoint changed, the tree built anew", "signature", CheckpointSignature, func(t *testing.T, k kept) kept {
			return k.rewritten(t, nil, func(all []record.Entry) []record.Entry {
				last := find(t, all, "checkpoint", 1)
				return edit(t, "checkpoint", 1, "wall_ms ", "wall_ms 1")(all[:last+1])
			})
		}, nothingHeld},
		{"a key put in that nobody signed", "rotation", KeyRotation, func(t *testing.T, k kept) kept {
			return k.rewritten(t, nil, func(all []record.Entry) []record.Entry {
				return edit(t, "key", 1, `"signature":"next key`, `"signature":"my next key`)(all[:find(t, all, "key", 1)+1])
			})
		}, nothingHeld},
		{"a view changed, so that people read something else", "layout", Layout, sql("DROP VIEW temperature", "CREATE VIEW temperature AS SELECT 80 AS oil_c"), nothingHeld},
		{"a trigger added", "layout", Layout, sql("CREATE TRIGGER later AFTER INSERT ON entry BEGIN SELECT 1; END"), nothingHeld},
		{"the mark of the file changed", "layout", Layout, sql("PRAGMA application_id = 1"), nothingHeld},
	}
}

// cutAt cuts a record after an entry so that everything fits again.
func cutAt(seq int) func(*testing.T, kept) kept {
	return func(t *testing.T, k kept) kept {
		return k.rewritten(t, nil, func(all []record.Entry) []record.Entry { return all[:seq] })
	}
}

// oldCopy is the record as it was at its third checkpoint.
func oldCopy(t *testing.T, k kept) kept {
	return k.rewritten(t, nil, func(all []record.Entry) []record.Entry { return all[:find(t, all, "checkpoint", 2)+1] })
}

// cosignedThenChanged lets another site sign the second checkpoint, and then
// changes a reading before it.
func cosignedThenChanged(t *testing.T, k kept) kept {
	private, vkey, err := sumnote.GenerateKey(zeros{}, "bainward/sorrels-yard/00000001")
	if err != nil {
		t.Fatal(err)
	}
	text, mine, _ := strings.Cut(k.notes[1], "\n\n")
	signed := must(sumnote.Sign(&sumnote.Note{Text: text + "\n"}, must(sumnote.NewSigner(private))))
	_, theirs, _ := strings.Cut(string(signed), "\n\n")
	c := must(parseCheckpoint(text + "\n"))
	body := must(json.Marshal(map[string]any{"site": "sorrel's yard", "key": vkey, "size": c.size, "root": c.root.String(), "note": text + "\n\n" + mine + theirs}))
	return k.rewritten(t, k.privates, func(all []record.Entry) []record.Entry {
		last := all[len(all)-1]
		last.Kind, last.Body = "cosignature", body
		return append(hotter(t, 4, 20.0625)(all), last)
	})
}

// zeros is a source of chance for keys that need not be secret.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) { return len(p), nil }

// Whatever somebody does to a record of the daemon, the verifier finds it and names it.
func TestTamperingIsFoundAndNamed(t *testing.T) {
	sound := soundRecords(t)["by the daemon"]
	var table strings.Builder
	w := tabwriter.NewWriter(&table, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "what was done\tcaught by\tnamed as")
	for _, c := range tamperings() {
		t.Run(c.what, func(t *testing.T) {
			o := Options{Version: "test", Workers: 1}
			c.with(t, sound, &o)
			if r := verified(t, sound.path, o); !r.Clean {
				t.Fatalf("before it: %+v", r.Findings)
			}
			r := verified(t, c.do(t, sound).path, o)
			i := slices.IndexFunc(r.Findings, func(f Finding) bool { return f.Kind == c.named })
			if i < 0 {
				t.Fatalf("found %+v, want one named %s", r.Findings, c.named)
			}
			if f := r.Findings[i]; f.Means == "" || f.Found == "" {
				t.Errorf("it says too little: %+v", f)
			}
			var kinds []string
			for _, f := range r.Findings {
				if !slices.Contains(kinds, string(f.Kind)) {
					kinds = append(kinds, string(f.Kind))
				}
			}
			fmt.Fprintf(w, "%s\t%s\t%s\n", c.what, c.caughtBy, strings.Join(kinds, ", "))
		})
	}
	w.Flush()
	t.Logf("the corruption table:\n%s", table.String())
}

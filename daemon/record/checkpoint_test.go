package record

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"golang.org/x/mod/sumdb/tlog"

	"bainward/rules"
)

// signed is a record with a key, an hour of readings and a checkpoint.
func signed(t *testing.T, dir string) (*Record, Entry) {
	t.Helper()
	r, err := Open(t.Context(), Options{Dir: dir, Site: "Alder Yard"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	appendTo(t, r, must(Of(0, nine, "", Key{})), must(Of(0, nine, "", Restart{Boot: "b"})))
	var readings []Entry
	for second := range 600 {
		readings = append(readings, readingOf("north", 6*second))
	}
	appendTo(t, r, readings...)
	at := time.Hour
	return r, must(r.Checkpoint(t.Context(), at, nine.Add(at), WhyHour))
}

// The note is checked with nothing but the standard library, as C2SP signed-note
// and tlog-checkpoint write them down (checked at github.com/C2SP/C2SP 5ba5ee8).
func TestACheckpointIsWhatC2SPSays(t *testing.T) {
	r, e := signed(t, t.TempDir())
	var c Checkpoint
	if err := e.Decode(&c); err != nil || c.Why != WhyHour {
		t.Fatalf("%+v, %v", c, err)
	}
	text, signature, _ := strings.Cut(c.Note, "\n\n")
	text += "\n"
	lines := strings.Split(text, "\n")
	name, id, key := cut3(t, r.VerifierKey())
	if !strings.HasPrefix(name, "bainward/alder-yard/") || len(name) != len("bainward/alder-yard/")+8 || lines[0] != name {
		t.Errorf("key of %q, origin %q", name, lines[0])
	}
	var leaves [][]byte
	for leaf, err := range r.Leaves(t.Context(), 0, -1) {
		if err != nil {
			t.Fatal(err)
		}
		leaves = append(leaves, leaf.Line)
	}
	root := rootOf(leaves[:len(leaves)-1])
	want := fmt.Sprintf("%s\n%d\n%s\nseq 602\nat_ms 3600000\nwall_ms 1772359200000\n", name, len(leaves)-1, base64.StdEncoding.EncodeToString(root[:]))
	if text != want {
		t.Errorf("got\n%swant\n%s", text, want)
	}
	sum := sha256.Sum256(append([]byte(name+"\n"), key...))
	if key[0] != 1 || hex.EncodeToString(sum[:4]) != id {
		t.Errorf("key id %s, want %x of a key of kind 1", id, sum[:4])
	}
	rest, ok := strings.CutPrefix(signature, "\u2014 "+name+" ")
	raw := must(base64.StdEncoding.DecodeString(strings.TrimSuffix(rest, "\n")))
	if !ok || string(raw[:4]) != string(sum[:4]) || !ed25519.Verify(key[1:], []byte(text), raw[4:]) {
		t.Errorf("signature line %q does not hold", signature)
	}
}

func cut3(t *testing.T, vkey string) (name, id string, key []byte) {
	t.Helper()
	parts := strings.SplitN(vkey, "+", 3)
	if len(parts) != 3 {
		t.Fatalf("public key %q", vkey)
	}
	return parts[0], parts[1], must(base64.StdEncoding.DecodeString(parts[2]))
}

// The example of C2SP tlog-checkpoint, and what is none.
func TestACheckpointIsReadAsC2SPWritesIt(t *testing.T) {
	const example = "example.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n" +
		"\n\u2014 example.com/behind-the-sofa Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URYN7u5/Zhcyv2q1gGzGku9nTo+zyWE+xeMcTOAYQ8=\n"
	h, err := CheckpointOf(example)
	if err != nil || h.Origin != "example.com/behind-the-sofa" || h.Size != 20852163 || h.Root.String() != "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=" {
		t.Errorf("%+v, %v", h, err)
	}
	for _, c := range [][2]string{
		{"\n\n", "\n"}, {"20852163", "020852163"}, {"20852163", "-1"}, {"20852163", "many"}, {"CsUY", "CsU"},
		{"2I=\n", "2I=\nseq many\n"}, {"example.com/behind-the-sofa\n2", "\n2"},
	} {
		bad := strings.Replace(example, c[0], c[1], 1)
		if _, err := CheckpointOf(bad); err == nil || !strings.HasPrefix(err.Error(), "read checkpoint: ") {
			t.Errorf("%q is taken: %v", bad, err)
		}
	}
	if h, err := CheckpointOf(strings.Replace(example, "2I=\n", "2I=\nseq 7\nweather fine\n", 1)); err != nil || h.Seq != 7 {
		t.Errorf("with more lines: %+v, %v", h, err)
	}
}

// The closing of a batch and the checkpoint over it are one commit.
func TestACheckpointCoversWhatComesBeforeItInTheSameAppend(t *testing.T) {
	r, first := signed(t, t.TempDir())
	at := 2 * time.Hour
	appendTo(t, r, readingOf("south", 7100))
	numbered := appendTo(t, r,
		readingOf("north", 7200),
		must(Of(at, nine, "north", Batch{State: Closed, Number: "1"})),
		must(Of(at, nine, "", Checkpoint{Why: WhyBatchEnd})))
	var c Checkpoint
	if err := numbered[2].Decode(&c); err != nil {
		t.Fatal(err)
	}
	if h, err := CheckpointOf(c.Note); err != nil || h.Seq != numbered[1].Seq {
		t.Errorf("it covers up to entry %d, %v; want %d", h.Seq, err, numbered[1].Seq)
	}
	if _, sealed, err := r.LeafOf(t.Context(), numbered[0].Seq-1); err != nil || !sealed {
		t.Errorf("a reading of another bath before it is not sealed, %v", err)
	}
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
	var found []string
	for c, err := range r.Checkpoints(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		if c.Head.Size != c.Leaf {
			t.Errorf("the checkpoint at leaf %d covers %d", c.Leaf, c.Head.Size)
		}
		found = append(found, fmt.Sprint(c.Entry.Seq, " ", c.Why))
	}
	if want := fmt.Sprintf("[%d hour %d batch end]", first.Seq, numbered[2].Seq); fmt.Sprint(found) != want {
		t.Errorf("checkpoints %v, want %s", found, want)
	}
}

func TestWhatOnlyTheRecordMaySignIsNotTakenFromOutside(t *testing.T) {
	r := openIn(t, t.TempDir())
	if _, err := r.Checkpoint(t.Context(), 0, nine, WhyAsked); err == nil || !strings.Contains(err.Error(), "append a Key") {
		t.Errorf("a checkpoint without a key: %v", err)
	}
	r, e := signed(t, t.TempDir())
	for _, bad := range []Entry{
		e, {At: e.At, Wall: e.Wall, Kind: KindKey, Body: json.RawMessage(`{"vkey":"` + r.VerifierKey() + `"}`)},
		must(Of(e.At, e.Wall, "north", Checkpoint{Why: WhyHour})), must(Of(e.At, e.Wall, "north", Key{})),
	} {
		if _, err := r.Append(t.Context(), []Entry{bad}); err == nil || !strings.Contains(err.Error(), "itself") {
			t.Errorf("%s: %v", bad.Body, err)
		}
	}
	if _, err := Of(0, nine, "", Checkpoint{Why: "fun"}); err == nil {
		t.Error("an unknown reason is taken")
	}
}

// Proofs are checked with the functions for whoever holds a checkpoint.
func TestProofsHoldForEveryLeafAndEveryEarlierTree(t *testing.T) {
	r := openIn(t, t.TempDir())
	var lines [][]byte
	for i := range 17 {
		e := appendTo(t, r, must(Of(time.Duration(i)*time.Second, nine, "north", PhaseOf(rules.Idle, i))))[0]
		lines = append(lines, appendEntryLine(nil, int64(i), &e))
	}
	ctx := t.Context()
	for size := range int64(18) {
		root, err := r.Root(ctx, size)
		if err != nil || root != rootOf(lines[:size]) {
			t.Fatalf("root over %d: %v, %v", size, root, err)
		}
		for leaf := range size {
			proof, err := r.Inclusion(ctx, leaf, size)
			if err != nil || tlog.CheckRecord(proof, size, root, leaf, Leaf{Line: lines[leaf]}.Hash()) != nil {
				t.Errorf("leaf %d in %d: %v, %v", leaf, size, proof, err)
			}
		}
		for from := range size + 1 {
			proof, err := r.Consistency(ctx, from, size)
			if err != nil || from > 0 && tlog.CheckTree(proof, size, root, from, rootOf(lines[:from])) != nil {
				t.Errorf("%d before %d: %v, %v", from, size, proof, err)
			}
		}
	}
	for _, c := range [][2]int64{{-1, 3}, {3, 18}, {18, 18}, {4, 3}} {
		if _, err := r.Inclusion(ctx, c[0], c[1]); err == nil {
			t.Errorf("leaf %d of %d is proved", c[0], c[1])
		}
		if _, err := r.Consistency(ctx, c[0], c[1]); err == nil && c != [2]int64{18, 18} {
			t.Errorf("%d before %d is proved", c[0], c[1])
		}
	}
	if _, _, err := r.LeafOf(ctx, 18); err == nil {
		t.Error("an entry that is not there has a leaf")
	}
}

// The audit path (RFC 9162, 2.1.3) of leaf 0 in the tree of eight leaves
// with which implementations are commonly tested (transparency-dev/merkle).
func TestTheInclusionProofIsThatOfThePublishedTree(t *testing.T) {
	leaves, _ := vectors(t)
	var e edge
	stored := map[int64]tlog.Hash{}
	for _, leaf := range leaves {
		id := tlog.StoredHashIndex(0, e.size)
		for i, h := range must(e.add(leaf)) {
			stored[id+int64(i)] = h
		}
	}
	r := openIn(t, t.TempDir())
	for id, h := range stored {
		if _, err := r.write.hash.ExecContext(t.Context(), id, h[:]); err != nil {
			t.Fatal(err)
		}
	}
	proof, err := tlog.ProveRecord(8, 0, r.hashes(t.Context()))
	want := []string{
		"96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
		"5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
		"6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
	}
	if err != nil || len(proof) != len(want) {
		t.Fatalf("%v, %v", proof, err)
	}
	for i, h := range proof {
		if hex.EncodeToString(h[:]) != want[i] {
			t.Errorf("hash %d is %x, want %s", i, h, want[i])
		}
	}
	if _, err := r.conn.ExecContext(t.Context(), "DELETE FROM hash"); err != nil {
		t.Fatal(err)
	}
}

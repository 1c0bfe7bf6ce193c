package fold_test

import (
	"flag"
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
	"bainward/sensors/bench"
)

var record = flag.Bool("record", false, "play the scripts of testdata/runs on the bench anew and write their traces")

const runs = "../../testdata/runs"

// TestSameBits folds recorded runs and holds a hash of every line that a replay
// says, and of everything that the rules remember every ten minutes, to the last
// bit. Another room's machines_test.go runs it on other processors. The runs are
// files, for the bench that made them may differ between processors.
func TestSameBits(t *testing.T) {
	if *record {
		recordRuns(t)
	}
	paths, err := filepath.Glob(runs + "/*.csv")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no recorded runs in testdata/runs (%v)", err)
	}
	var got strings.Builder
	for _, path := range paths {
		said, remembered, lines := hashes(t, path)
		fmt.Fprintf(&got, "%-24s %5d lines, FNV-1a of what is said %016x, of what is remembered %016x\n",
			filepath.Base(path), lines, said, remembered)
	}
	const golden = "testdata/bits.txt"
	if *update || *record {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(golden, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Errorf("other bits than in %s; got\n%swant\n%s", golden, got.String(), want)
	}
}

func hashes(t *testing.T, path string) (said, remembered uint64, lines int) {
	t.Helper()
	rows, cfg := readRun(t, path), configOf(bench.DefaultRig())
	words, memory := fnv.New64a(), fnv.New64a()
	fold.Replay(&cfg, rows, func(l fold.Line) {
		lines++
		words.Write(append(l.JSON(), '\n'))
	})
	var b fold.Bath
	next := time.Duration(0)
	for i := range rows {
		for _, e := range rows[i].Events {
			b, _ = b.Step(&cfg, rules.OfEvent(rows[i].At, e))
		}
		b, _ = b.Step(&cfg, rules.OfFrame(rows[i].Frame()))
		if rows[i].At >= next {
			fmt.Fprintf(memory, "%v\n", b) // floats in full
			next += 10 * time.Minute
		}
	}
	return words.Sum64(), memory.Sum64(), lines
}

func readRun(t testing.TB, path string) []trace.Row {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := trace.Read(f)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// recordRuns writes the traces that the test folds: a good batch on a mountain,
// a pan that boils dry, and probes that were swapped.
func recordRuns(t *testing.T) {
	t.Helper()
	if err := os.MkdirAll(runs, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"nominal-1500m", "boil-dry-hanging", "swapped-probes", "mishaps/second-batch"} {
		rows, _ := run(t, bench.DefaultRig(), readScript(t, "../../testdata/baths/"+name+".bath"), 10*time.Second)
		f, err := os.Create(filepath.Join(runs, filepath.Base(name)+".csv"))
		if err != nil {
			t.Fatal(err)
		}
		if err := trace.Write(f, rows); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

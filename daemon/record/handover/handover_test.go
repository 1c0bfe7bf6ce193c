package handover_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bainward/daemon/record"
	"bainward/daemon/record/handover"
	"bainward/rules/trace"
)

// written writes the hand-over of the invented batch and returns its folder.
func written(t *testing.T, y *yard) (dir string, s handover.Summary) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "out")
	s, err := handover.Write(context.Background(), y.r.Reader, batchNumber, dir, handover.Options{
		Site: "Alder Yard", Sheet: func(w io.Writer) error { _, err := io.WriteString(w, "%PDF"); return err },
	})
	if err != nil {
		t.Fatal(err)
	}
	return dir, s
}

// python runs the checker that lies in the folder. It needs Python's standard
// library and nothing else.
func python(t *testing.T, args ...string) (out string, ok bool) {
	t.Helper()
	path, err := exec.LookPath("python3")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3 is missing (Debian: apt-get install python3)")
		}
		t.Skip("python3 is missing")
	}
	b, err := exec.Command(path, append([]string{"-I"}, args...)...).CombinedOutput()
	if exit := (*exec.ExitError)(nil); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return string(b), err == nil
}

// What is handed over is found good by us and by a program in another language,
// which shares no line with this one, and tells all of the batch and nothing of
// the other bath.
func TestAHandOverStandsAlone(t *testing.T) {
	y := newYard(t)
	y.batch()
	y.dayAfter(true)
	dir, s := written(t, y)
	if s.Later != 0 || s.Leaves < 10 {
		t.Errorf("handed over: %+v", s)
	}
	key := y.r.VerifierKey()
	c, err := handover.Check(dir, key)
	if err != nil {
		t.Fatal(err)
	}
	if c.Batch != batchNumber || !c.Vouched || c.Leaves != s.Leaves {
		t.Errorf("checked: %+v", c)
	}
	out, ok := python(t, filepath.Join(dir, "check.py"), dir, key)
	if !ok || !strings.Contains(out, "Everything fits") || !strings.Contains(out, "1080 readings") {
		t.Errorf("check.py: %v\n%s", ok, out)
	}
	entries := read(t, dir, "entries.jsonl")
	for _, want := range []string{lotOfHerb, "fill 1.45 kg", "it was half a kilogram", `"kind":"bottles"`, `"kind":"clock"`, `"kind":"key"`} {
		if !strings.Contains(entries, want) {
			t.Errorf("the entries do not tell %q", want)
		}
	}
	for _, not := range []string{"note of the other bath", `"readings":"south"`} {
		if strings.Contains(entries, not) {
			t.Errorf("the entries tell of another bath: %q", not)
		}
	}
	rows, err := trace.Read(strings.NewReader(read(t, dir, "trace.csv")))
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1081 || strings.Contains(read(t, dir, "trace.csv"), "top-up 5 kg") {
		t.Errorf("the trace has %d rows, want 1080 readings and what was filled in, without what was taken back", len(rows))
	}
}

func read(t *testing.T, dir, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// The command that the README gives computes the hash of the first leaf.
func TestTheReadmeTellsHowToHashALeaf(t *testing.T) {
	y := newYard(t)
	y.batch()
	dir, _ := written(t, y)
	const command = "(printf '\\000'; head -n 1 entries.jsonl | tr -d '\\n') | sha256sum"
	if !strings.Contains(read(t, dir, "README.txt"), command) {
		t.Fatal("the README gives another command than is tested")
	}
	sh := exec.Command("sh", "-c", command+" && sha256sum --quiet -c SHA256SUMS")
	sh.Dir = dir
	out, err := sh.Output()
	if err != nil {
		t.Fatalf("%s: %v", command, err)
	}
	line, _, _ := strings.Cut(read(t, dir, "entries.jsonl"), "\n")
	if want := handover.LeafHash([]byte(line)).String(); !strings.HasPrefix(string(out), want) {
		t.Errorf("the shell says %s, want %s", out, want)
	}
}

// Whatever byte is changed in whatever file, both checkers see it; so do they a
// line that is missing or stands elsewhere, and sums that were made anew.
func TestEveryChangeIsSeen(t *testing.T) {
	y := newYard(t)
	y.batch()
	dir, _ := written(t, y)
	key := y.r.VerifierKey()
	good := os.DirFS(dir)
	files, err := fs.Glob(good, "*")
	if err != nil || len(files) != 9 {
		t.Fatalf("the hand-over holds %v (%v)", files, err)
	}
	lines := strings.SplitAfter(read(t, dir, "entries.jsonl"), "\n")
	changes := map[string]func(t *testing.T, dir string){
		"a line dropped": func(t *testing.T, dir string) {
			rewrite(t, dir, "entries.jsonl", strings.Join(append(lines[:5:5], lines[6:]...), ""))
		},
		"two lines swapped": func(t *testing.T, dir string) {
			swapped := append([]string{}, lines...)
			swapped[5], swapped[6] = swapped[6], swapped[5]
			rewrite(t, dir, "entries.jsonl", strings.Join(swapped, ""))
		},
		"cut short": func(t *testing.T, dir string) {
			rewrite(t, dir, "entries.jsonl", strings.Join(lines[:len(lines)-2], ""))
		},
		"a temperature changed": func(t *testing.T, dir string) {
			rewrite(t, dir, "trace.csv", strings.Replace(read(t, dir, "trace.csv"), "98.5000", "97.5000", 1))
		},
		"a row of the trace dropped": func(t *testing.T, dir string) {
			rows := strings.SplitAfter(read(t, dir, "trace.csv"), "\n")
			rewrite(t, dir, "trace.csv", strings.Join(append(rows[:9:9], rows[10:]...), ""))
		},
		"a fact changed": func(t *testing.T, dir string) {
			rewrite(t, dir, "entries.jsonl", strings.Replace(read(t, dir, "entries.jsonl"), "220 g", "320 g", 1))
		},
		"another size": func(t *testing.T, dir string) {
			text := read(t, dir, "checkpoint.txt")
			size := strings.Split(text, "\n")[1]
			rewrite(t, dir, "checkpoint.txt", strings.Replace(text, "\n"+size+"\n", "\n1"+size+"\n", 1))
		},
	}
	for name, change := range changes {
		t.Run(name, func(t *testing.T) {
			bad := filepath.Join(t.TempDir(), "bad")
			if err := os.CopyFS(bad, good); err != nil {
				t.Fatal(err)
			}
			change(t, bad)
			seen(t, bad, key, !strings.Contains(name, "trace") && name != "a temperature changed")
		})
	}
	for _, name := range files {
		t.Run("a byte of "+name, func(t *testing.T) {
			whole := []byte(read(t, dir, name))
			for i := 0; i < len(whole); i += max(1, len(whole)/4) {
				bad := filepath.Join(t.TempDir(), "bad")
				if err := os.CopyFS(bad, good); err != nil {
					t.Fatal(err)
				}
				changed := bytes.Clone(whole)
				changed[i] ^= 1
				if err := os.WriteFile(filepath.Join(bad, name), changed, 0o600); err != nil {
					t.Fatal(err)
				}
				if _, err := handover.Check(bad, key); err == nil {
					t.Errorf("byte %d changed, and nobody saw it", i)
				}
				if name == "check.py" || i > 0 && name != "entries.jsonl" && name != "proof.json" {
					continue // of the others one byte is enough: a sum is a sum
				}
				if out, ok := python(t, filepath.Join(dir, "check.py"), bad, key); ok {
					t.Errorf("byte %d changed, and check.py did not see it:\n%s", i, out)
				}
			}
		})
	}
}

// seen fails the test if a change goes unseen, though its sums were made anew by
// whoever changed it. The trace is compared with the entries by check.py alone.
func seen(t *testing.T, bad, key string, byUs bool) {
	t.Helper()
	sh := exec.Command("sh", "-c", "ls | grep -v SHA256SUMS | xargs sha256sum > SHA256SUMS.new && mv SHA256SUMS.new SHA256SUMS")
	sh.Dir = bad
	if out, err := sh.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if _, err := handover.Check(bad, key); err == nil && byUs {
		t.Error("Check did not see it")
	}
	if out, ok := python(t, filepath.Join(bad, "check.py"), bad, key); ok {
		t.Errorf("check.py did not see it:\n%s", out)
	}
}

func rewrite(t *testing.T, dir, name, text string) {
	t.Helper()
	if text == read(t, dir, name) {
		t.Fatalf("%s was not changed", name)
	}
	if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A hand-over that somebody else signed is not believed when the true key is given.
func TestAnotherKeyIsNotBelieved(t *testing.T) {
	y, other := newYard(t), newYard(t)
	y.batch()
	dir, _ := written(t, y)
	key := other.r.VerifierKey()
	if _, err := handover.Check(dir, key); err == nil {
		t.Error("Check believed it")
	}
	if out, ok := python(t, filepath.Join(dir, "check.py"), dir, key); ok {
		t.Errorf("check.py believed it:\n%s", out)
	}
	if c, err := handover.Check(dir, ""); err != nil || c.Vouched {
		t.Errorf("without a key: %+v, %v; want it to fit, vouched for by nobody", c, err)
	}
}

// What cannot be handed over is said, and nothing is left behind.
func TestWhatCannotBeHandedOverLeavesNothingBehind(t *testing.T) {
	y := newYard(t)
	y.put("north", record.Batch{State: record.Opened, Number: "open"})
	there := t.TempDir()
	y2 := newYard(t)
	y2.batch()
	for _, c := range []struct {
		y                 *yard
		number, dir, want string
		sheet             error
	}{
		{y, "nowhere", filepath.Join(t.TempDir(), "out"), "not in the record", nil},
		{y, "open", filepath.Join(t.TempDir(), "out"), "still open", nil},
		{y2, batchNumber, there, "there already", nil},
		{y2, batchNumber, filepath.Join(t.TempDir(), "out"), "no ink", errors.New("no ink")},
	} {
		_, err := handover.Write(context.Background(), c.y.r.Reader, c.number, c.dir, handover.Options{Sheet: func(io.Writer) error { return c.sheet }})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.number, err, c.want)
		}
		if left, _ := os.ReadDir(filepath.Dir(c.dir)); c.dir != there && len(left) > 0 {
			t.Errorf("%s: %v is left behind", c.number, left)
		}
	}
}

// Bottles that no checkpoint covers yet are left out, and that is said.
func TestWhatNoCheckpointCoversIsLeftOutAndCounted(t *testing.T) {
	y := newYard(t)
	y.batch()
	y.dayAfter(false)
	dir, s := written(t, y)
	if s.Later != 1 {
		t.Errorf("%d entries were left out, want the bottles", s.Later)
	}
	if _, err := handover.Check(dir, ""); err != nil {
		t.Error(err)
	}
}

// The same record gives the same zip.
func TestAZipIsTheSameEachTime(t *testing.T) {
	y := newYard(t)
	y.batch()
	var zips [2]bytes.Buffer
	for i := range zips {
		if _, err := handover.Pack(context.Background(), y.r.Reader, batchNumber, &zips[i], handover.Options{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(zips[0].Bytes(), zips[1].Bytes()) || zips[0].Len() == 0 {
		t.Error("two zips of one record differ")
	}
}

// A hand-over of another record is kept beside ours, once, and only if it fits.
func TestAHandOverIsKeptBesideTheRecord(t *testing.T) {
	y := newYard(t)
	y.batch()
	dir, _ := written(t, y)
	ours := t.TempDir()
	c, to, err := handover.Keep(dir, y.r.VerifierKey(), ours)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := handover.Check(to, c.Key); err != nil {
		t.Error(err)
	}
	if _, _, err := handover.Keep(dir, y.r.VerifierKey(), ours); !errors.Is(err, fs.ErrExist) {
		t.Errorf("kept twice: %v", err)
	}
	rewrite(t, dir, "trace.csv", "time,oil_c,bath_c\n")
	if _, _, err := handover.Keep(dir, "", t.TempDir()); err == nil {
		t.Error("what does not fit was kept")
	}
}

package judge

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/rules/trace"
)

// TestForesightHoldsItsFloors plays a fixed set of rigs, whose stated sizes are
// up to a tenth off. The floors stand below what was measured, so that a change
// that makes foresight worse fails here; the command judge prints the whole
// table over 200 rigs.
func TestForesightHoldsItsFloors(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a hundred baths")
	}
	s, err := Rigs(24, Makers{}, 2)
	if err != nil {
		t.Fatal(err)
	}
	var table strings.Builder
	s.Write(&table)
	t.Log("\n" + table.String())
	least := func(what string, is, floor float64) {
		if !(is >= floor) {
			t.Errorf("%s: %.3f, want at least %.3f", what, is, floor)
		}
	}
	most := func(what string, is, ceiling float64) {
		if !(is <= ceiling) {
			t.Errorf("%s: %.3f, want at most %.3f", what, is, ceiling)
		}
	}
	least("warned before the base is bare", s.warned.part(), 0.91)
	least("dry pans told in time", s.dry.part(), 0.98)
	least("bare bases told though led astray", s.misled.part(), 0.90)
	least("tended baths without a false alarm", s.quiet.part(), 1)
	least("unentered water noticed", s.noticed.part(), 0.95)
	most("false pours in 20 h", float64(s.falsePours)/s.hours*20, 1)
	most("error of the boil-off after a top-up, median", spread(&s.boilErr), 0.10)
	most("error of the time to bare, median", s.bareErr.at(0.5), 0.45)
	for q, c := range s.cover {
		least("cover of "+quantityNames[q], c.part(), 0.70)
		most("cover of "+quantityNames[q], c.part(), 0.98)
	}
}

// TestForesightWithASharpRuler: with sizes that are right, the time to bare is
// as good as the aim asks.
func TestForesightWithASharpRuler(t *testing.T) {
	if testing.Short() {
		t.Skip("plays sixty baths")
	}
	s, err := Rigs(16, Makers{Exact: true}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if m := s.bareErr.at(0.5); !(m <= 0.20) {
		t.Errorf("median error of the time to bare is %.0f %%", 100*m)
	}
	if s.warned.part() < 1 {
		t.Errorf("warned in %s", s.warned)
	}
}

// spread is the larger of how far the median lies off 0, either way.
func spread(s *sample) float64 { return max(s.at(0.5), -s.at(0.5)) }

// A course that is written into a folder and read back gives the same figures,
// but for what the folder does not tell.
func TestFolderGivesTheFiguresOfTheCourseInIt(t *testing.T) {
	c, err := Rig{Seed: 3, Makers: Makers{Exact: true}, Every: 10 * time.Second}.Course(Forgotten)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "third.csv"), func(f *os.File) error { return trace.Write(f, c.Rows) })
	write(t, filepath.Join(dir, "third.truth.csv"), func(f *os.File) error { return WriteTruth(f, c) })
	read, err := ReadFolder(dir, c.Config)
	if err != nil {
		t.Fatal(err)
	}
	if len(read) != 1 || read[0].Name != "third" || len(read[0].Rows) != len(c.Rows) || len(read[0].Truth) != len(c.Truth) {
		t.Fatalf("read %d courses", len(read))
	}
	var a, b Score
	c.Hanging = true
	a.Add(c)
	b.Add(read[0])
	if a.warned != b.warned || a.dry != b.dry || a.cover[water] != b.cover[water] {
		t.Errorf("played: %v %v %v, read: %v %v %v", a.warned, a.dry, a.cover[water], b.warned, b.dry, b.cover[water])
	}
}

func write(t *testing.T, path string, into func(*os.File) error) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := into(f); err != nil {
		t.Fatal(err)
	}
}

func TestTruthThatCannotBeReadIsRefused(t *testing.T) {
	start := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"":                    "header",
		"time,water\n":        `column "water"`,
		"water_kg\n1\n":       "no column time",
		"time,bare,bare\n":    "twice",
		"time,bare\n":         "no rows",
		"time,bare\nnine,1\n": "line 2: column time",
		"time,bare\n2026-03-01T09:00:00Z,maybe\n":                    "line 2: column bare",
		"time,dry\n2026-03-01T09:00:01Z,0\n2026-03-01T09:00:00Z,0\n": "line 3: time goes back",
	} {
		if _, err := readTruth(strings.NewReader(text), start); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

func TestFolderWithoutATraceIsRefused(t *testing.T) {
	if _, err := ReadFolder(t.TempDir(), (&Course{}).Config); err == nil || !strings.Contains(err.Error(), "no trace") {
		t.Errorf("an empty folder: %v", err)
	}
}

// Water that falls in a straight line meets the base when it must.
func TestBareInFollowsTheWater(t *testing.T) {
	c := &Course{BareKg: 1}
	for s := 0; s <= 3600; s += 10 {
		kg := 1.5 - float64(s)/3600
		c.Truth = append(c.Truth, Truth{At: time.Duration(s) * time.Second, WaterKg: kg, Bare: kg < 1})
	}
	c.prepare()
	for _, at := range []int{0, 60, 120} {
		if got, want := c.bareIn(at), float64(1810-10*at); got < want-20 || got > want+20 {
			t.Errorf("bare in %.0f s, want %.0f", got, want)
		}
	}
}

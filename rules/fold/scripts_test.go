package fold_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
	"bainward/sensors"
	"bainward/sensors/bench"
)

var update = flag.Bool("update", false, "write the transcripts of testdata/baths anew")

// run plays a bath script on a rig and returns it as trace rows and truth.
func run(t testing.TB, rig bench.Rig, script bench.Script, every time.Duration) ([]trace.Row, []bench.Truth) {
	t.Helper()
	var rows []trace.Row
	var truths []bench.Truth
	err := bench.Run(rig, script, every, func(f sensors.Frame, events string, truth bench.Truth) {
		said, err := rules.ParseEvents(events)
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, trace.Row{Wall: f.Wall, At: f.At, Probes: f.Probes, Pressure: f.Pressure, Events: said})
		truths = append(truths, truth)
	})
	if err != nil {
		t.Fatal(err)
	}
	return rows, truths
}

// configOf is the rules' view of a rig: what a maker would write into the site
// file about it.
func configOf(rig bench.Rig) rules.Config {
	return rules.Config{
		Bath: "north",
		Rig: rules.Rig{
			PanInsideDiameter:   rig.Stated.PanInsideDiameter,
			DishOutsideDiameter: rig.Stated.DishOutsideDiameter,
			DishBaseHeight:      rig.Stated.DishBaseHeight,
		},
		Recipe: rules.Recipe{Name: "ribwort-fresh", OilML: 800, HerbG: 220, Fresh: true}.Complete(),
		Limits: rules.DefaultLimits(),
	}
}

// transcript is what a replay says, a line each, with offsets for times.
// Estimates are left out: they change with every refinement of the balance.
func transcript(cfg *rules.Config, rows []trace.Row) string {
	var b strings.Builder
	fold.Replay(cfg, rows, func(l fold.Line) {
		at := l.At.Sub(rows[0].Wall)
		switch l.Kind {
		case fold.PhaseLine:
			fmt.Fprintf(&b, "%8s  %s\n", at, l.Phase)
		case fold.AlarmLine:
			fmt.Fprintf(&b, "%8s  %s %s %s\n", at, l.Priority, l.Alarm, l.State)
			if l.State == "unacknowledged" {
				fmt.Fprintf(&b, "%8s  %s\n", "", l.Text)
			}
		case fold.SummaryLine:
			fmt.Fprintf(&b, "%8s  %s, hold %d s, %d top-ups\n", at, l.Verdict, *l.HoldS, *l.TopUps)
		}
	})
	return b.String()
}

func scripts(t testing.TB) []string {
	t.Helper()
	var paths []string
	for _, folder := range []string{"baths", "baths/mishaps"} {
		found, err := filepath.Glob("../../testdata/" + folder + "/*.bath")
		if err != nil || len(found) == 0 {
			t.Fatalf("no bath scripts in testdata/%s (%v)", folder, err)
		}
		paths = append(paths, found...)
	}
	return paths
}

func readScript(t testing.TB, path string) bench.Script {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := bench.ParseScript(path, bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Each script in testdata/baths and its mishaps has beside it what the rules say of it. Run
// with -update to write these anew, and read the difference before committing.
func TestScriptsSayWhatTheySaid(t *testing.T) {
	for _, path := range scripts(t) {
		name := strings.TrimSuffix(filepath.Base(path), ".bath")
		t.Run(name, func(t *testing.T) {
			rows, _ := run(t, bench.DefaultRig(), readScript(t, path), time.Second)
			cfg := configOf(bench.DefaultRig())
			got := transcript(&cfg, rows)
			golden := strings.TrimSuffix(path, ".bath") + ".says"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the rules now say:\n%s\nand said:\n%s", got, want)
			}
		})
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/trace"
	"bainward/sensors"
	"bainward/sensors/bench"
)

// storyTrace writes a bath's share of the demo's story, one row a second, as a
// trace file in dir and returns its path and its rows.
func storyTrace(t testing.TB, dir, bath string, lasts time.Duration) (string, []trace.Row) {
	t.Helper()
	text, err := story.ReadFile("story/" + bath + ".bath")
	if err != nil {
		t.Fatal(err)
	}
	script, err := bench.ParseScript(bath, bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	live, err := bench.NewLive(rigs()[0], script)
	if err != nil {
		t.Fatal(err)
	}
	began := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	silent := [sensors.RoleCount]bool{}
	var rows []trace.Row
	for at := time.Duration(0); at <= lasts; at += time.Second {
		row := trace.Row{Wall: began.Add(at), Pressure: sensors.Pressure{Pascal: int32(live.Pressure())}}
		for _, due := range live.AdvanceTo(at) {
			if due.Fault != nil {
				silent[due.Fault.Role] = due.Fault.Fault != sensors.NoFault
			}
			said, err := rules.ParseEvents(due.Events)
			if err != nil {
				t.Fatal(err)
			}
			row.Events = append(row.Events, said...)
		}
		for role, c := range []float64{live.Oil(), live.BathProbe(), live.Room()} {
			row.Probes[role] = sensors.AtCelsius(c)
			if silent[role] {
				row.Probes[role] = sensors.Failed(sensors.Absent)
			}
		}
		rows = append(rows, row)
	}
	path := filepath.Join(dir, bath+".csv")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := trace.Write(f, rows); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path, rows
}

// storySite writes the demo's site file into dir and returns its path.
func storySite(t testing.TB, dir string) string {
	t.Helper()
	text, err := story.ReadFile("story/site.toml")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "site.toml")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// replayLine is a line of replay --json with its keys in the order written.
type replayLine struct {
	keys   []string
	fields map[string]json.RawMessage
}

func (l replayLine) word(t *testing.T, key string) string {
	t.Helper()
	var s string
	if err := json.Unmarshal(l.fields[key], &s); err != nil {
		t.Fatalf("%s in %s is no text: %v", key, l.fields, err)
	}
	return s
}

func parseReplay(t *testing.T, out string) []replayLine {
	t.Helper()
	if !strings.HasSuffix(out, "}\n") {
		t.Fatalf("the last line does not end: %q", out[max(0, len(out)-80):])
	}
	var lines []replayLine
	for text := range strings.Lines(out) {
		var l replayLine
		if err := json.Unmarshal([]byte(text), &l.fields); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		l.keys = slices.SortedFunc(maps.Keys(l.fields), func(a, b string) int {
			return strings.Index(text, `"`+a+`":`) - strings.Index(text, `"`+b+`":`)
		})
		lines = append(lines, l)
	}
	return lines
}

// The keys that the format gives each kind of line. An estimate leaves out what
// is not known, and may say more.
var (
	lineKeys = map[string][]string{
		"alarm":   {"at", "bath", "kind", "alarm", "state", "priority", "text"},
		"phase":   {"at", "bath", "kind", "phase"},
		"summary": {"at", "bath", "kind", "hold_s", "oil_max_c", "top_ups", "verdict"},
	}
	estimateKeys = []string{"at", "bath", "kind", "water_kg", "to_bare_s", "boil_off_kg_h", "herb_water_kg", "hold_s"}
	saying       = []string{"unacknowledged", "acknowledged", "returned-unacknowledged", "latched-unacknowledged", "latched-acknowledged"}
	verdicts     = []string{"held", "short", "spoiled", "open"}
	priorities   = []string{"low", "medium", "high", "critical"}
)

func TestReplayWritesTheLinesThatProgramsExpect(t *testing.T) {
	dir := t.TempDir()
	path, rows := storyTrace(t, dir, "north", 4*time.Hour)
	var out, complaints bytes.Buffer
	args := []string{"replay", "--site", storySite(t, dir), "--bath", "north", "--json", path}
	if code := run(t.Context(), args, &out, &complaints); code != exitDone || complaints.Len() > 0 {
		t.Fatalf("exit code %d, %s", code, &complaints)
	}
	lines := parseReplay(t, out.String())
	seen := map[string]int{}
	var last time.Time
	for i, l := range lines {
		kind := l.word(t, "kind")
		seen[kind]++
		if l.word(t, "bath") != "north" {
			t.Errorf("line %d is of bath %s", i+1, l.fields["bath"])
		}
		at, err := time.Parse(time.RFC3339, l.word(t, "at"))
		if err != nil || !strings.HasSuffix(l.word(t, "at"), "Z") || at.Before(last) {
			t.Errorf("line %d is at %s after %s (%v): want RFC 3339 in UTC that never goes back", i+1, l.fields["at"], last, err)
		}
		last = at
		checkLine(t, i+1, kind, l)
	}
	if kind := lines[len(lines)-1].word(t, "kind"); kind != "summary" || seen["summary"] != 1 {
		t.Errorf("%d summaries and the last line is %s, want one at the end", seen["summary"], kind)
	}
	if len(seen) != 4 {
		t.Errorf("kinds of line seen: %v, want alarm, phase, estimate and summary", seen)
	}
	if !last.Equal(rows[len(rows)-1].Wall) {
		t.Errorf("the summary is at %v, want the last row, %v", last, rows[len(rows)-1].Wall)
	}
	checkEstimates(t, lines)
	checkStates(t, lines)
}

func checkLine(t *testing.T, n int, kind string, l replayLine) {
	t.Helper()
	switch kind {
	case "estimate":
		for _, key := range estimateKeys {
			if l.fields[key] == nil && key != "herb_water_kg" { // which nothing tells before it is weighed
				t.Errorf("line %d, an estimate, has no %s", n, key)
			}
		}
		for _, key := range []string{"water_kg", "to_bare_s", "boil_off_kg_h", "herb_water_kg"} {
			if l.fields[key] == nil {
				continue // complained of above
			}
			var spread struct{ P10, P50, P90 *float64 }
			if err := json.Unmarshal(l.fields[key], &spread); err != nil || spread.P50 == nil {
				t.Errorf("line %d: %s is %s, want p10, p50 and p90", n, key, l.fields[key])
			} else if spread.P10 != nil && (*spread.P10 > *spread.P50 || *spread.P50 > *spread.P90 || *spread.P10 < 0) {
				t.Errorf("line %d: %s is %s, want it in order and not below nothing", n, key, l.fields[key])
			}
		}
	case "alarm", "phase", "summary":
		if kind == "alarm" && !slices.Contains(saying, l.word(t, "state")) && l.fields["text"] == nil {
			l.keys = append(l.keys, "text") // an alarm that does not stand has nothing to say
		}
		if !slices.Equal(l.keys, lineKeys[kind]) {
			t.Errorf("line %d has keys %v, want %v", n, l.keys, lineKeys[kind])
		}
	default:
		t.Errorf("line %d is of kind %q", n, kind)
	}
	if kind == "summary" && !slices.Contains(verdicts, l.word(t, "verdict")) {
		t.Errorf("the verdict is %s, want one of %v", l.fields["verdict"], verdicts)
	}
	if kind == "alarm" && !slices.Contains(priorities, l.word(t, "priority")) {
		t.Errorf("line %d has priority %s", n, l.fields["priority"])
	}
}

// checkEstimates: at least one a minute from lighting to straining.
func checkEstimates(t *testing.T, lines []replayLine) {
	t.Helper()
	var lit bool
	var last time.Time
	for _, l := range lines {
		at, err := time.Parse(time.RFC3339, l.word(t, "at"))
		if err != nil {
			t.Fatal(err)
		}
		if lit && at.Sub(last) > time.Minute {
			t.Errorf("no estimate for %v before %v", at.Sub(last), at)
		}
		switch l.word(t, "kind") {
		case "estimate":
			last = at
		case "phase":
			now := l.word(t, "phase")
			if now == "heating" && !lit {
				last = at
			}
			lit = now == "heating" || now == "holding"
		}
	}
}

// checkStates: an alarm line says a state that the alarm was not in before.
func checkStates(t *testing.T, lines []replayLine) {
	t.Helper()
	state := map[string]string{}
	for i, l := range lines {
		if l.word(t, "kind") != "alarm" {
			continue
		}
		id, now := l.word(t, "alarm"), l.word(t, "state")
		if _, known := rules.ParseID(id); !known {
			t.Errorf("line %d is about %q", i+1, id)
		}
		was := state[id]
		if was == "" {
			was = alarm.Normal.String()
		}
		if was == now {
			t.Errorf("line %d says %s of %s, which it was already", i+1, now, id)
		}
		state[id] = now
	}
	for _, id := range []string{"top-up-due", "dish-bare", "probe-silent"} {
		if state[id] == "" {
			t.Errorf("%s never changed in a story in which it must", id)
		}
	}
}

// BenchmarkReplay times the whole program over two hours at a row a second.
func BenchmarkReplay(b *testing.B) {
	dir := b.TempDir()
	path, _ := storyTrace(b, dir, "north", 2*time.Hour)
	program := buildProgram(b, dir)
	site := storySite(b, dir)
	for b.Loop() {
		if out, err := exec.Command(program, "replay", "--site", site, "--bath", "north", "--json", path).CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, out)
		}
	}
}

// buildProgram builds the daemon as it is installed.
func buildProgram(t testing.TB, dir string) string {
	t.Helper()
	program := filepath.Join(dir, "bainward")
	build := exec.Command("go", "build", "-o", program, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatal(fmt.Errorf("build the daemon: %w: %s", err, out))
	}
	return program
}

package record

import (
	"encoding/hex"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch/recipe"
	"bainward/sensors"
)

// shell runs the sqlite3 program on the record in dir.
func shell(t *testing.T, dir string, args ...string) string {
	t.Helper()
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("sqlite3 is not installed")
		}
		t.Skip("sqlite3 is not installed")
	}
	cmd := exec.Command(program, append([]string{"-readonly", filepath.Join(dir, fileName)}, args...)...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("sqlite3 %q: %v: %s", args, err, out)
	}
	return string(out)
}

// TestTheShellShowsTheLogInWords reads a record in use with SQLite's own
// program, which shares no code with this package's driver.
func TestTheShellShowsTheLogInWords(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	f := sensors.Frame{At: 90*time.Minute + 250*Tick, Wall: nine.Add(250 * Tick), Pressure: sensors.Pressure{Fault: sensors.NotFitted}}
	f.Probes[sensors.Oil] = sensors.AtCelsius(93.0625)
	f.Probes[sensors.Bath] = sensors.Failed(sensors.BadCRC)
	f.Probes[sensors.Room] = sensors.AtCelsius(-10.125)
	g := f
	g.At += 3 * time.Hour
	g.Wall = g.Wall.Add(-48 * time.Hour)
	g.Probes[sensors.Bath] = sensors.AtCelsius(100)
	g.Probes[sensors.Room] = sensors.Failed(sensors.NotFitted)
	g.Pressure = sensors.Pressure{Pascal: 100930}
	appendTo(t, r,
		must(Of(f.At, f.Wall, "", Restart{Boot: "b", Version: "1"})),
		OfFrame("north", Rounded(f)),
		must(Of(f.At, f.Wall, "north", EventOf(rules.Event{Kind: rules.Light}, "maker", ""))),
		OfFrame("north", Rounded(g)))
	want := `1|2026-03-01T09:00:00.250Z|5400.25||restart|{"boot":"b","gap_known":false,"downtime_ns":0,"uptime_ns":0,"version":"1"}
2|2026-03-01T09:00:00.250Z|5400.25|north|reading|oil 93.0625 °C, bath: crc, room -10.125 °C
3|2026-03-01T09:00:00.250Z|5400.25|north|event|{"text":"light","by":"maker"}
4|2026-02-27T09:00:00.250Z|16200.25|north|reading|oil 93.0625 °C, bath 100 °C, pressure 1009.3 hPa
`
	if got := shell(t, dir, "SELECT * FROM log"); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	want = `2|2026-03-01T09:00:00.250Z|5400.25|north|93.0625||-10.125|
4|2026-02-27T09:00:00.250Z|16200.25|north|93.0625|100.0||1009.3
`
	if got := shell(t, dir, "SELECT * FROM temperature"); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// TestWhatThePageTellsPeopleToTypeWorks runs every statement of READING.md.
func TestWhatThePageTellsPeopleToTypeWorks(t *testing.T) {
	r := day(t)
	var dir string
	if err := r.conn.QueryRowContext(t.Context(), "SELECT file FROM pragma_database_list WHERE name = 'main'").Scan(&dir); err != nil {
		t.Fatal(err)
	}
	dir = filepath.Dir(dir)
	appendTo(t, r, must(Of(time.Hour, nine, "north", EventOf(rules.Event{Kind: rules.Strain}, "maker", "2"))),
		must(Of(time.Hour, nine, "north", Correction{Voids: 37, Reason: "wrong bath", By: "maker"})),
		must(Of(time.Hour, nine, "", Recipe{State: RecipeMade, Recipe: recipe.Written{Name: "nettle"}, By: "Robin"})),
		must(Of(time.Hour, nine, "", Key{})), must(Of(time.Hour, nine, "", Checkpoint{Why: WhyAsked})),
		must(Of(time.Hour, nine, "", Person{What: "added", Who: "Robin", Role: "keeper", By: "whoever can write the site file"})))
	// The mean kinetic temperature of 2 and 8 °C is 5.536 °C (USP29 <1160>).
	for i, mean := range []float64{2, 8} {
		i, low, high := int64(i), mean-0.5, mean+0.5
		appendTo(t, r, must(Of(time.Duration(i+2)*time.Hour, nine, "", Storage{
			Place: "fridge", Probe: "28-00000bbb9b13", From: (i + 1) * 3_600_000, To: (i + 2) * 3_600_000,
			Count: 60, Measured: 3_600_000, Min: &low, Max: &high, Kinetic: &mean, Warm: 8,
		})))
	}
	page := string(must(os.ReadFile("READING.md")))
	blocks := regexp.MustCompile("(?s)```sql\n(.*?)```").FindAllStringSubmatch(page, -1)
	if len(blocks) != 14 {
		t.Fatalf("%d statements found in READING.md, want 14", len(blocks))
	}
	for i, want := range []string{
		"|north|reading|oil 90.0625 °C", "|restart|", "\n0\n", "|90.", `"who":"Robin","role":"keeper"`, "1|9|18\n2|21|\n", "37|strain|maker|wrong bath\n", "2026-03-01|fridge|1.5|8.5|5.54|100.0\n",
		"|asked|bainward/site/", r.VerifierKey(), `{"leaf":5,"readings":"north",`, `{"leaf":1,"seq":6,"at_ms":2000,"wall_ms":1772355602000,"bath":"north","kind":"config","body":{`, hashAt(t, r, 1), "|nettle|made|Robin\n",
	} {
		if got := shell(t, dir, blocks[i][1]); !strings.Contains("\n"+got, want) {
			t.Errorf("%s\nsays\n%s\nwant %q in it", blocks[i][1], got, want)
		}
	}
	for k := range strings.SplitSeq("reading event finding alarm command phase batch config restart clock key checkpoint storage thinned recipe correction stop", " ") {
		if !Kind(k).Known() || !strings.Contains(page, "| `"+k+"` |") {
			t.Errorf("kind %q is not explained", k)
		}
	}
	copied := filepath.Join(t.TempDir(), fileName)
	shell(t, dir, "VACUUM INTO '"+copied+"'")
	reader, err := OpenReader(filepath.Dir(copied))
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	if n := len(all(t, reader)); n != 44 {
		t.Errorf("the copy has %d entries, want 44", n)
	}
}

// hashAt returns the hash of a leaf in hexadecimal digits.
func hashAt(t *testing.T, r *Record, number int64) string {
	t.Helper()
	for leaf, err := range r.Leaves(t.Context(), number, number) {
		if err != nil {
			t.Fatal(err)
		}
		h := leaf.Hash()
		return hex.EncodeToString(h[:])
	}
	t.Fatalf("there is no leaf %d", number)
	return ""
}

// TestTheShellHashesALeaf runs the lines of READING.md that do so.
func TestTheShellHashesALeaf(t *testing.T) {
	r := day(t)
	appendTo(t, r, must(Of(time.Hour, nine, "", Stop{})))
	dir := r.dir
	shell(t, dir, "SELECT 1") // or skip
	page := string(must(os.ReadFile("READING.md")))
	lines := regexp.MustCompile("(?m)^    sqlite3 -readonly record.db \\\\\n(.*\n)*?.*sha256sum\n").FindString(page)
	script := strings.Replace(lines, "leaf = 13", "leaf = 5", 1)
	if script == lines {
		t.Fatalf("found %q, want lines about leaf 13", lines)
	}
	cmd := exec.Command("sh", "-ec", script)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if want := hashAt(t, r, 5) + "  -\n"; err != nil || string(out) != want {
		t.Errorf("%s\nsays %s, %v; want %s", script, out, err, want)
	}
}

// TestTheViewsSayTheSameOfSealedReadings holds what the sqlite3 program makes of
// blocks against what it made of the same readings as rows.
func TestTheViewsSayTheSameOfSealedReadings(t *testing.T) {
	r := openIn(t, t.TempDir())
	for second := range 290 {
		f := frameAt(time.Duration(second)*time.Second + time.Duration(second%7)*Tick)
		switch second % 9 {
		case 2:
			f.Probes[sensors.Oil] = sensors.Failed(sensors.BadCRC)
		case 4:
			f.Probes[sensors.Bath] = sensors.AtCelsius(-7.0001 * float64(second))
		case 5:
			f.Pressure = sensors.Pressure{Fault: sensors.NotFitted}
		case 7:
			f.Wall = f.Wall.Add(-time.Hour)
			f.Probes[sensors.Room] = sensors.Failed(sensors.Absent)
		}
		appendTo(t, r, OfFrame("north", Rounded(f)), OfFrame("south", frameAt(f.At)))
	}
	ask := "SELECT * FROM log WHERE kind = 'reading'; SELECT * FROM temperature ORDER BY seq"
	open := shell(t, r.dir, ask)
	appendTo(t, r, must(Of(time.Hour, nine, "", Stop{})))
	if got := leavesOf(t, r); !strings.HasSuffix(got, "north 48, south 48, stop") {
		t.Fatalf("the leaves are %s", got)
	}
	if sealed := shell(t, r.dir, ask); sealed != open || strings.Count(open, "\n") != 4*290 {
		t.Errorf("open:\n%.2000s\nsealed:\n%.2000s", open, sealed)
	}
}

package record

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/rules"
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
		must(Of(time.Hour, nine, "north", Correction{Voids: 37, Reason: "wrong bath", By: "maker"})))
	page := string(must(os.ReadFile("READING.md")))
	blocks := regexp.MustCompile("(?s)```sql\n(.*?)```").FindAllStringSubmatch(page, -1)
	if len(blocks) != 6 {
		t.Fatalf("%d statements found in READING.md, want 6", len(blocks))
	}
	for i, want := range []string{
		"|north|reading|oil 90.0625 °C", "|restart|", "0\n0\n", "|90.", "1|9|18\n2|21|\n", "37|strain|maker|wrong bath\n",
	} {
		if got := shell(t, dir, blocks[i][1]); !strings.Contains(got, want) {
			t.Errorf("%s\nsays\n%s\nwant %q in it", blocks[i][1], got, want)
		}
	}
	for k := range strings.SplitSeq("reading event finding alarm command phase batch config restart clock correction stop", " ") {
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
	if n := len(all(t, reader)); n != 38 {
		t.Errorf("the copy has %d entries, want 38", n)
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// almanac writes a record by hand, day by day.
type almanac struct {
	t       *testing.T
	at      time.Duration
	began   time.Time
	entries []record.Entry
}

func (a *almanac) write(bath string, b record.Body) {
	a.t.Helper()
	e, err := record.Of(a.at, a.began.Add(a.at), bath, b)
	if err != nil {
		a.t.Fatal(err)
	}
	a.entries = append(a.entries, e)
}

func (a *almanac) turns(bath string, id rules.ID, from, to alarm.State) {
	a.t.Helper()
	a.write(bath, record.AlarmOf(alarm.Change{
		Alarm: id, From: from, To: to, Priority: alarm.Of(id).Priority, Finding: rules.Finding{Level: rules.Raised},
	}))
}

// day is an hour of watching, polled every half minute, in which north is lit
// for fifty minutes, calls for water after thirty and is answered after two. On
// the tenth day south calls too, for forty seconds, and nobody answers.
func (a *almanac) day(n int) {
	a.t.Helper()
	morning := a.at
	for i := range 121 {
		a.at = morning + time.Duration(i)*30*time.Second
		for _, bath := range []string{"north", "south"} {
			f := sensors.Frame{At: a.at, Wall: a.began.Add(a.at), Pressure: sensors.Pressure{Fault: sensors.NotFitted}}
			for role := range f.Probes {
				f.Probes[role] = sensors.Failed(sensors.NotFitted)
			}
			a.entries = append(a.entries, record.OfFrame(bath, record.Rounded(f)))
		}
		switch minute := float64(i) / 2; {
		case minute == 0:
			a.write("north", record.Batch{State: record.Opened, Number: a.began.Add(a.at).Format("20060102")})
			a.write("north", record.PhaseOf(rules.Heating, 1))
		case minute == 20 && n == 9:
			a.turns("south", rules.DishBare, alarm.Normal, alarm.Unacknowledged)
			a.at += 40 * time.Second
			a.turns("south", rules.DishBare, alarm.Unacknowledged, alarm.ReturnedUnacknowledged)
		case minute == 20.5 && n == 9:
			a.entries = a.entries[:len(a.entries)-2] // the polls that the forty seconds overtook
		case minute == 30:
			a.turns("north", rules.TopUpDue, alarm.Normal, alarm.Unacknowledged)
		case minute == 32:
			a.write("north", record.CommandOf(alarm.Command{Alarm: rules.TopUpDue, Action: alarm.Acknowledge}, "Robin"))
			a.turns("north", rules.TopUpDue, alarm.Unacknowledged, alarm.Acknowledged)
		case minute == 35:
			a.turns("north", rules.TopUpDue, alarm.Acknowledged, alarm.Normal)
		case minute == 50:
			a.write("north", record.PhaseOf(rules.Straining, 1))
		}
	}
	a.at = morning + 24*time.Hour
}

// autumn is a record from the first of November to the fifth of December, still
// open for writing, as under a daemon.
func autumn(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	r, err := record.Open(t.Context(), record.Options{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = r.Close() })
	a := &almanac{t: t, began: time.Date(2026, 11, 1, 9, 0, 0, 0, time.UTC)}
	a.write("", record.Restart{Boot: "a"})
	for n := range 35 {
		a.day(n)
	}
	if _, err := r.Append(t.Context(), a.entries); err != nil {
		t.Fatal(err)
	}
	return dir
}

func figures(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(t.Context(), append([]string{"figures"}, args...), &out, &errs); code != exitDone {
		t.Fatalf("figures ended with %d: %s", code, errs.String())
	}
	return out.String()
}

// lines are what was printed, with single spaces.
func lines(text string) []string {
	all := strings.Split(text, "\n")
	for i, l := range all {
		all[i] = strings.Join(strings.Fields(l), " ")
	}
	return all
}

func wantLines(t *testing.T, text string, want ...string) {
	t.Helper()
	have := lines(text)
	for _, w := range want {
		found := false
		for _, l := range have {
			found = found || l == w
		}
		if !found {
			t.Errorf("no line %q in\n%s", w, text)
		}
	}
}

// November of a made-up autumn, reckoned by hand: thirty calls for water and one
// that fled, in thirty hours of watching and twenty-five of a lit bath.
func TestFiguresOfAMonthStandBesideTheirTargets(t *testing.T) {
	dir := autumn(t)
	text := figures(t, "--record", dir, "--month", "2026-11")
	wantLines(t, text,
		"2026-11: watched for 30 h 00 min, days with data: 30, lit for 25 h 00 min; calls: 31.",
		"north south all baths very likely acceptable maximum manageable judged",
		"calls a day 24.00 0.80 24.80 about 150 about 300 very likely acceptable",
		"calls an hour with a lit bath 1.20 - 1.24 about 6 about 12 very likely acceptable",
		"alarms that chatter 0 0 0 0 very likely acceptable",
		"fleeting calls 0 1 1 0 over",
		"priority medium 100.0 % 0.0 % 96.8 % 15 %",
		"answered within, half of them 2 min - 2 min",
		"never answered 0 1 1",
		"of those, calling still 0 1 1",
		"Most calls: north top-up-due 30, south dish-bare 1",
	)
	if strings.Contains(text, "Too little data") {
		t.Error("thirty days are too little")
	}
	text = figures(t, "--record", dir, "--bath", "south")
	wantLines(t, text,
		"2026-12: watched for 5 h 00 min, days with data: 5, lit for 0 s; calls: 0.",
		"Too little data to judge: the standards ask for 30 days of it. The numbers all the same:",
		"all of the record: watched for 35 h 00 min, days with data: 35, lit for 0 s; calls: 1.",
		"fleeting calls 0 0", // December, not judged
		"fleeting calls 1 0 over",
	)
}

// Programs read the same numbers, one line a bath and month.
func TestFiguresForPrograms(t *testing.T) {
	type line struct {
		Month, Bath string
		WatchedS    float64 `json:"watched_s"`
		LitS        float64 `json:"lit_s"`
		Enough      bool
		Calls       int
		Measures    []struct {
			Name, Unit, Grade string
			Value             *float64
		}
	}
	var all []line
	for text := range strings.Lines(figures(t, "--record", autumn(t), "--json")) {
		d := json.NewDecoder(strings.NewReader(text))
		var l line
		if err := d.Decode(&l); err != nil {
			t.Fatal(err)
		}
		all = append(all, l)
	}
	if len(all) != 9 { // two months and all, of two baths and the site
		t.Fatalf("%d lines, want 9", len(all))
	}
	if l := all[2]; l.Month != "2026-11" || l.Bath != "" || !l.Enough || l.Calls != 31 || l.LitS != 90000 {
		t.Errorf("November of the site: %+v", l)
	}
	if l := all[7]; l.Month != "" || l.Bath != "south" || l.Calls != 1 {
		t.Errorf("all of south: %+v", l)
	}
	for _, m := range all[1].Measures {
		if m.Name == "calls an hour with a lit bath" && m.Value != nil {
			t.Errorf("south was never lit and called %v times an hour of it", *m.Value)
		}
	}
}

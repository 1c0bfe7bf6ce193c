package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"bainward/daemon/people"
	"bainward/dashboards"
	"bainward/sensors"
)

// bench is a Doer whose probes a test sets. Each deed moves its calibration on.
type bench struct {
	*fakeDoer
	mu   sync.Mutex
	says dashboards.Probes
}

const benchProbe = "28-000005fba71c"

func newBench() *bench {
	return &bench{fakeDoer: newFakeDoer(), says: dashboards.Probes{Probes: []dashboards.Probe{
		{Address: "28-00000bbb9b13", Bath: "north", Role: "oil", U: 1, Counts: true},
		{Address: benchProbe, Bath: "north", Role: "bath", On: "2025-01-31", Due: "2026-01-31", Overdue: true, U: 0.38, By: "Robin", Boils: []dashboards.ProbeBoil{
			{At: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC), Off: 0.62, Boiling: 99.57, Measured: true},
			{At: time.Date(2026, 2, 3, 12, 0, 0, 0, time.UTC), Off: -0.21, Boiling: 99.97},
		}},
		{Address: "28-000000000777", Bath: "south", Role: "bath", Lit: true, U: 1, Counts: true},
	}}}
}

func (b *bench) Probes() dashboards.Probes {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.says
}

// stands puts the calibration of benchProbe to a step.
func (b *bench) stands(step dashboards.CalibrationStep, change func(*dashboards.Calibration)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	c := &dashboards.Calibration{Probe: benchProbe, Step: step, Say: "Now the " + string(step) + ".", Of: 60}
	if change != nil {
		change(c)
	}
	b.says.Calibration = c
}

func (b *bench) moves(step dashboards.CalibrationStep, format string, args ...any) error {
	err := b.did(format, args...)
	if err == nil {
		b.stands(step, nil)
	}
	return err
}

func (b *bench) StartCalibration(_ context.Context, p sensors.Address, who string) error {
	return b.moves(dashboards.CalibrationIce, "start %s%s", p, by(who))
}

func (b *bench) NextCalibration(_ context.Context, p sensors.Address, depth float64, who string) error {
	return b.moves(dashboards.CalibrationBoil, "next %s %.3f m%s", p, depth, by(who))
}

func (b *bench) KeepCalibration(_ context.Context, p sensors.Address, who string) error {
	return b.moves(dashboards.CalibrationOver, "keep %s by %s", p, who)
}

func (b *bench) CancelCalibration(_ context.Context, p sensors.Address, who string) error {
	return b.moves(dashboards.CalibrationOver, "cancel %s%s", p, by(who))
}

// result is a calibration at its end, of which the numbers are those of a probe 0.3 K
// off.
func result(c *dashboards.Calibration) {
	reads := 99.1875
	c.Reads, c.N = &reads, 60
	c.Ice = &dashboards.CalibrationAt{Reads: 0.3125, U: 0.061, N: 60, Spread: 0.01}
	c.Boil = &dashboards.CalibrationAt{Reads: 99.1875, True: 99.59, U: 0.09, N: 60, Spread: 0.06, Pascal: 99500, Depth: 0.05}
	c.Result = &dashboards.Correction{Gain: 1.007, Offset: -0.3147, U: 0.38, AtIce: -0.31, AtBoil: 0.4, Before: "2025-01-31", BeforeU: 0.41}
}

// posted sends a step of a calibration and returns status and answer.
func posted(h http.Handler, probe, body string) (int, string) {
	r := request(http.MethodPost, "/api/probe/"+probe+"/calibration", body)
	r.Header.Set("Content-Type", "application/json")
	w := served(h, r)
	return w.Code, w.Body.String()
}

// The page shows every probe, what is overdue, and which cannot be calibrated now.
func TestThePageOfTheProbes(t *testing.T) {
	h := newHandler(t, newFakeView(base("north"), holding("south")), newBench())
	text := page(t, h, "/probes")
	holds(t, "the page", text,
		"Never calibrated: within <b>±1.00 °C</b> at the boil", benchProbe, "Calibrated on <b>2025-01-31</b> by Robin",
		"Overdue since 2026-01-31.", "It counts once the batch in this bath is closed.", "The bath is lit and needs it",
		"On its last boil it stood &#43;0.62 °C off", "99.57 °C", "-0.21 °C", "by the elevation")
	if n := strings.Count(text, `data-do="start"`); n != 2 {
		t.Errorf("%d probes can be calibrated, want the two whose bath is not lit", n)
	}
	holds(t, "the page of a bath", page(t, h, "/bath/north"), `<a href="/probes">`)
}

// While one probe is calibrated no other can be, and the points that were taken stand
// on the page.
func TestThePageLeadsThroughACalibration(t *testing.T) {
	b := newBench()
	h := newHandler(t, newFakeView(base("north")), b)
	b.stands(dashboards.CalibrationIce, func(c *dashboards.Calibration) { c.Wait, c.N = "12 of 60 readings so far", 12 })
	part := page(t, h, "/probes/now")
	holds(t, "in the ice", part, "data-busy", "Now the ice.", "Not taken yet: 12 of 60 readings so far", "no reading", `max="60" value="12"`, `data-do="cancel"`)
	if strings.Contains(part, `data-do="start"`) || strings.Contains(part, "<html") {
		t.Error("another can be started, or the part is a whole page")
	}
	b.stands(dashboards.CalibrationMove, nil)
	holds(t, "between the points", page(t, h, "/probes/now"), `data-do="next"`, "Tip below the surface, cm")
	b.stands(dashboards.CalibrationResult, result)
	holds(t, "at the end", page(t, h, "/probes/now"), "±0.38 °C", "Before, of 2025-01-31", "±0.41 °C", "-0.31 °C", "&#43;0.40 °C", `data-do="keep"`)
	b.stands(dashboards.CalibrationOver, nil)
	holds(t, "after it", page(t, h, "/probes/now"), "Now the over.", `data-do="start"`)
}

// Each step reaches the Doer, and its refusals the person.
func TestStepsOfACalibration(t *testing.T) {
	b := newBench()
	h := newHandler(t, newFakeView(base("north")), b)
	for _, c := range []struct{ body, want string }{
		{`{"do":"start"}`, "start " + benchProbe},
		{`{"do":"next","depth_cm":5}`, "next " + benchProbe + " 0.050 m"},
		{`{"do":"keep","who":" Robin "}`, "keep " + benchProbe + " by Robin"},
		{`{"do":"cancel"}`, "cancel " + benchProbe},
	} {
		if code, body := posted(h, benchProbe, c.body); code != http.StatusOK {
			t.Errorf("%s: %d %s", c.body, code, body)
		} else if got := nextDeed(t, b.fakeDoer); got != c.want {
			t.Errorf("%s: the Doer was asked for %q, want %q", c.body, got, c.want)
		}
	}
	for _, c := range []struct {
		probe, body string
		code        int
		want        string
	}{
		{"thermometer", `{"do":"start"}`, 404, "parse probe address"},
		{benchProbe, `{"do":"boil"}`, 400, "want start, next, keep or cancel"},
		{benchProbe, `{"do":"next"}`, 400, "depth_cm"},
		{benchProbe, `{"do":"keep","who":"a\nb"}`, 400, "control character"},
		{benchProbe, `{"do":"start","role":"oil"}`, 400, "unknown field"},
	} {
		if code, body := posted(h, c.probe, c.body); code != c.code || !strings.Contains(body, c.want) {
			t.Errorf("%s: %d %s, want %d %q", c.body, code, body, c.code, c.want)
		}
	}
	b.refuse = errors.New("bath north is lit, and needs its probe")
	if code, body := posted(h, benchProbe, `{"do":"start"}`); code != http.StatusConflict || !strings.Contains(body, "needs its probe") {
		t.Errorf("a refusal is answered with %d %s", code, body)
	}
}

// Programs get the same, under the names of API.md.
func TestTheProbesForPrograms(t *testing.T) {
	b := newBench()
	b.stands(dashboards.CalibrationResult, result)
	text := page(t, newHandler(t, newFakeView(base("north")), b), "/api/probes")
	var all struct {
		Probes      []map[string]any
		Calibration map[string]any
	}
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Probes) != 3 || all.Probes[1]["address"] != benchProbe || all.Calibration["step"] != "result" {
		t.Errorf("it says %s", text)
	}
	names := []map[string]any{all.Probes[0], all.Calibration, all.Probes[1]["boils"].([]any)[0].(map[string]any)}
	for _, part := range []string{"ice", "boil", "result"} {
		names = append(names, all.Calibration[part].(map[string]any))
	}
	for _, part := range names {
		for field := range part {
			if !strings.Contains(string(apiText), "`"+field+"`") {
				t.Errorf("API.md does not name the field %s", field)
			}
		}
	}
}

// Everybody who is in may look; only a keeper may calibrate, and under their own name.
func TestOnlyAKeeperCalibrates(t *testing.T) {
	h := newDoorHouse(t)
	b := newBench()
	all := h.handler(t, func(o *Options) { o.Doer = b })
	send := func(role people.Role) int {
		r := h.as(role, request(http.MethodPost, "/api/probe/"+benchProbe+"/calibration", `{"do":"keep","who":"Sorrel"}`))
		r.Header.Set("Content-Type", "application/json")
		return served(all, r).Code
	}
	for _, role := range []people.Role{people.Viewer, people.Maker, people.Auditor} {
		if code := send(role); code != http.StatusForbidden {
			t.Errorf("a %s calibrates: %d", role, code)
		}
		w := served(all, h.as(role, request(http.MethodGet, "/probes", "")))
		if w.Code != http.StatusOK || strings.Contains(w.Body.String(), "data-do=") {
			t.Errorf("a %s sees %d, with buttons: %v", role, w.Code, strings.Contains(w.Body.String(), "data-do="))
		}
	}
	if code := send(people.Keeper); code != http.StatusOK {
		t.Fatalf("a keeper is answered %d", code)
	}
	if got := nextDeed(t, b.fakeDoer); strings.Contains(got, "Sorrel") || got == "keep "+benchProbe+" by " {
		t.Errorf("the Doer was asked for %q, in another's name", got)
	}
}

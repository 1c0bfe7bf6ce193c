package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bainward/daemon/web"
	"bainward/sensors"
)

// playedDaemon answers as the daemon does: each look shows the next of its steps,
// which wait for nobody but where a person is asked.
type playedDaemon struct {
	steps []web.Calibration
	at    int
	did   []string
}

const playedProbe = "28-000005fba71c"

func played() *playedDaemon {
	reads := 12.5
	ice := &web.CalibrationAt{Reads: 0.3125, N: 60}
	boil := &web.CalibrationAt{Reads: 99.1875, True: 99.59, N: 60}
	result := &web.Correction{Gain: 1.007, Offset: -0.31, U: 0.38, AtIce: -0.31, AtBoil: 0.4, BeforeU: 1}
	return &playedDaemon{steps: []web.Calibration{
		{Probe: playedProbe, Step: "ice", Say: "Put it into melting ice.", Wait: "the reading still falls", Reads: &reads},
		{Probe: playedProbe, Step: "move", Say: "Now into boiling water.", Ice: ice},
		{Probe: playedProbe, Step: "boil", Say: "Keep it there.", Ice: ice},
		{Probe: playedProbe, Step: "result", Say: "Compare.", Ice: ice, Boil: boil, Result: result},
		{Probe: playedProbe, Step: "over", Say: "The calibration has ended: kept; it is due again on 2027-03-01."},
	}}
}

func (d *playedDaemon) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method == http.MethodGet {
		c := d.steps[d.at]
		if s := c.Step; s == "ice" || s == "boil" {
			d.at++
		}
		_ = json.NewEncoder(w).Encode(web.Probes{Calibration: &c})
		return
	}
	var body bytes.Buffer
	_, _ = body.ReadFrom(r.Body)
	d.did = append(d.did, strings.TrimPrefix(r.URL.Path, "/api/probe/")+" "+body.String())
	if strings.Contains(body.String(), `"next"`) || strings.Contains(body.String(), `"keep"`) {
		d.at++
	}
	_, _ = w.Write([]byte(`{"done":"so be it"}`))
}

// leads runs the command's way through against d, with what a person writes.
func leads(t *testing.T, ctx context.Context, d http.Handler, writes string) (string, error) {
	return leadsBy(t, ctx, d, writes, func(*ledCalibration) {})
}

func leadsBy(t *testing.T, ctx context.Context, d http.Handler, writes string, change func(*ledCalibration)) (string, error) {
	t.Helper()
	server := httptest.NewServer(d)
	defer server.Close()
	probe, err := sensors.ParseAddress(playedProbe)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	l := ledCalibration{
		daemon: &askedDaemon{address: strings.TrimPrefix(server.URL, "http://"), scheme: "http", client: server.Client()},
		probe:  probe, who: "Robin", out: &out, answers: linesOf(strings.NewReader(writes)), every: time.Millisecond,
	}
	l.again = func() *askedDaemon { return l.daemon }
	change(&l)
	err = l.lead(ctx)
	return out.String(), err
}

// The command prints the daemon's steps, asks for the depth and for a yes, and has the
// result kept.
func TestCalibrateLeadsFromATerminal(t *testing.T) {
	d := played()
	said, err := leads(t, t.Context(), d, "deep\n5,5\nyes\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"Put it into melting ice.", "12.50 °C, not taken yet: the reading still falls", "Now into boiling water.",
		"How many cm below the surface? ", "boil: reads 99.188 °C, is 99.590 °C", "±0.38 K (k = 2)",
		"It was never calibrated before: ±1.00 K", "kept; it is due again on 2027-03-01",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q:\n%s", want, said)
		}
	}
	want := []string{
		playedProbe + `/calibration {"do":"start","who":"Robin"}`, playedProbe + `/calibration {"do":"next","depth_cm":5.5,"who":"Robin"}`,
		playedProbe + `/calibration {"do":"keep","who":"Robin"}`,
	}
	if strings.Join(d.did, "\n") != strings.Join(want, "\n") {
		t.Errorf("the daemon was asked for\n%s\nwant\n%s", strings.Join(d.did, "\n"), strings.Join(want, "\n"))
	}
}

// Whoever says no, says nothing more or ends the command keeps nothing, and leaves no
// calibration behind that would keep the probe out of its bath.
func TestCalibrateLeavesNothingBehind(t *testing.T) {
	ended, end := context.WithCancel(t.Context())
	end()
	for name, c := range map[string]struct {
		ctx    context.Context
		writes string
	}{
		"no":            {t.Context(), "5\nno\n"},
		"no more input": {t.Context(), "5\n"},
		"ended":         {ended, ""},
	} {
		d := played()
		_, err := leads(t, c.ctx, d, c.writes)
		if err == nil {
			t.Errorf("%s: it is taken for done", name)
		}
		if name != "ended" && (!errors.Is(err, errGivenUp) || !strings.Contains(d.did[len(d.did)-1], `"cancel"`)) {
			t.Errorf("%s: %v, and the daemon was asked for %v", name, err, d.did)
		}
		if strings.Contains(strings.Join(d.did, " "), `"keep"`) {
			t.Errorf("%s: it was kept", name)
		}
	}
}

// A probe that the daemon gave up, and a daemon that refuses or was restarted, are told
// in its words.
func TestCalibrateTellsWhyItEnded(t *testing.T) {
	bad := played()
	bad.steps[1] = web.Calibration{Probe: playedProbe, Step: "over", Say: "The calibration has ended: the probe is bad: throw it away."}
	restarted := played()
	restarted.steps[0].Probe = "28-00000bbb9b13"
	refusing := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.WriteHeader(http.StatusConflict)
		_, _ = w.Write([]byte(`{"error":"bath north is lit, and needs its probe"}`))
	})
	for want, d := range map[string]http.Handler{
		"throw it away": bad, "started again meanwhile": restarted, "bath north is lit": refusing,
	} {
		if _, err := leads(t, t.Context(), d, "5\nyes\n"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// A daemon that is started again in the middle is waited for, with its new token, and
// says itself what became of the calibration.
func TestCalibrateWaitsForADaemonThatStartsAgain(t *testing.T) {
	looks := 0
	dies := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodGet {
			panic(http.ErrAbortHandler) // the connection ends without an answer
		}
		_, _ = w.Write([]byte(`{"done":"so be it"}`))
	})
	back := played()
	back.steps = []web.Calibration{{Probe: playedProbe, Step: "over", Say: "The calibration has ended: it was cut off by a restart."}}
	server := httptest.NewServer(back)
	defer server.Close()
	said, err := leadsBy(t, t.Context(), dies, "", func(l *ledCalibration) {
		first := l.daemon
		l.again = func() *askedDaemon {
			if looks++; looks < 3 {
				return first
			}
			return &askedDaemon{address: strings.TrimPrefix(server.URL, "http://"), scheme: "http", client: server.Client(), token: "new"}
		}
	})
	if err == nil || !strings.Contains(err.Error(), "cut off by a restart") || looks != 3 {
		t.Errorf("after %d looks it ends with %v", looks, err)
	}
	if strings.Count(said, "The daemon does not answer: waiting for it.") != 1 {
		t.Errorf("it says\n%s", said)
	}
}

// Programs get a line of JSON whenever something changed, and no question.
func TestCalibrateWritesLinesForPrograms(t *testing.T) {
	d := played()
	said, err := leadsBy(t, t.Context(), d, "5\nyes\n", (*ledCalibration).forPrograms)
	if err != nil {
		t.Fatal(err)
	}
	var steps []string
	for line := range strings.Lines(said) {
		var c web.Calibration
		if err := json.Unmarshal([]byte(line), &c); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		steps = append(steps, string(c.Step))
	}
	if got, want := strings.Join(steps, " "), "ice move boil result over"; got != want {
		t.Errorf("the lines are of the steps %s, want %s", got, want)
	}
}

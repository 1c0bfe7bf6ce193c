package app

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"

	"bainward/daemon/cutout"
	"bainward/daemon/metrics"
	"bainward/daemon/phone/alive"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
)

// relay is the pin of a cut-out, which may be broken.
type relay struct {
	gpiotest.Pin
	mu     sync.Mutex
	broken error
	moved  chan struct{} // room for one: it was switched, or refused
}

func (r *relay) Out(l gpio.Level) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	defer func() {
		select {
		case r.moved <- struct{}{}:
		default:
		}
	}()
	if r.broken != nil {
		return r.broken
	}
	return r.Pin.Out(l)
}

func (r *relay) breaks(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.broken = err
}

// newStove is a kitchen whose bath has a cut-out.
func newStove(t *testing.T) (*kitchen, *relay) {
	r := &relay{Pin: gpiotest.Pin{N: "GPIO27", Num: 27}, moved: make(chan struct{}, 1)}
	return newKitchenWith(t, func(o *Options) {
		o.Cuts = []Cut{{Bath: "north", Output: cutout.Level(r)}}
	}), r
}

func runDry(k *kitchen) {
	k.t.Helper()
	for c := 100.0; c <= 115; c++ {
		k.read(92, c)
		k.poll(time.Second)
	}
}

// metricsOf is what Prometheus would read now. It has a registry of its own, for
// handler is made before the loop runs.
func metricsOf(t *testing.T, a *App) string {
	t.Helper()
	registry := prometheus.NewRegistry()
	if _, err := metrics.New(metrics.Options{Registerer: registry, Snapshots: a.Snapshots, Outward: a.outward, Version: "test"}); err != nil {
		t.Fatal(err)
	}
	return read(t, promhttp.HandlerFor(registry, promhttp.HandlerOpts{}), "/metrics")
}

func read(t *testing.T, h http.Handler, path string) string {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://127.0.0.1"+path, nil))
	if w.Code != http.StatusOK {
		t.Fatalf("GET %s: %d %s", path, w.Code, w.Body)
	}
	return w.Body.String()
}

func mustTell(t *testing.T, text string, want ...string) {
	t.Helper()
	for _, line := range want {
		if !strings.Contains(text, line+"\n") {
			t.Errorf("the metrics lack %q", line)
		}
	}
}

// The room of pages may not import the cut-out's, so the words stand in both.
func TestTheCautionOfThePagesIsThatOfTheCutout(t *testing.T) {
	if dashboards.CutoutCaution != cutout.Caution {
		t.Errorf("pages say %q, the cut-out says %q", dashboards.CutoutCaution, cutout.Caution)
	}
}

// A dry pan cuts the heat; page, metrics and record say so, until the alarm is
// reset and somebody gives the heat back.
func TestADryPanIsShownToHaveCutTheHeat(t *testing.T) {
	k, _ := newStove(t)
	k.hold()
	if got := k.app.Cutouts(); len(got) != 1 || !got[0].Allow || got[0].Tripped != "" || got[0].Fault != "" {
		t.Errorf("while the bath simmers the cut-out is %+v", got)
	}
	mustTell(t, metricsOf(t, k.app), `bainward_cutout_allowed{bath="north"} 1`, `bainward_cutout_tripped{bath="north"} 0`)

	runDry(k)
	if got := k.app.Cutouts()[0]; got.Bath != "north" || got.Allow || got.Tripped != "boiling-dry" || got.Why == "" {
		t.Errorf("with a dry pan the cut-out is %+v", got)
	}
	mustTell(t, metricsOf(t, k.app), `bainward_cutout_allowed{bath="north"} 0`, `bainward_cutout_tripped{bath="north"} 1`)
	h, err := k.app.handler()
	if err != nil {
		t.Fatal(err)
	}
	mustTell(t, read(t, h, "/metrics"), `bainward_cutout_tripped{bath="north"} 1`)
	if text := read(t, h, "/bath/north"); !strings.Contains(text, "Heat cut by boiling-dry.") {
		t.Error("the page does not say that the heat is cut")
	}
	if status, body := postHeat(h); status != http.StatusConflict || !strings.Contains(body, "still stands") {
		t.Errorf("while the pan is dry the heat is given back: %d %s", status, body)
	}

	k.read(92, 99.5)
	k.pollFor(2 * time.Minute)
	for _, action := range []alarm.Action{alarm.Acknowledge, alarm.Reset} {
		for _, id := range []rules.ID{rules.BoilingDry, rules.Overheating} {
			// One of the two may have nothing to acknowledge or to reset.
			_ = k.app.Alarm(t.Context(), "north", alarm.Command{Alarm: id, Action: action}, "Robin")
		}
		k.poll(time.Second)
	}
	if status, body := postHeat(h); status != http.StatusOK {
		t.Errorf("after the reset the heat is not given back: %d %s", status, body)
	}
	k.poll(time.Second)
	if got := k.app.Cutouts()[0]; !got.Allow || got.Tripped != "" {
		t.Errorf("after Robin gave the heat back the cut-out is %+v", got)
	}
	log := strings.Join(texts(k), "\n")
	for _, want := range []string{"heat cut: boiling-dry cut it", "heat allowed: the bath is read", "(given back by Robin)"} {
		if !strings.Contains(log, want) {
			t.Errorf("the log lacks %q:\n%s", want, log)
		}
	}
}

func postHeat(h http.Handler) (int, string) {
	r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1/api/bath/north/heat", strings.NewReader(`{"who":"Robin"}`))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Code, w.Body.String()
}

// Heat that could not be cut is not shown as cut.
func TestHeatThatCannotBeCutIsShownSo(t *testing.T) {
	k, r := newStove(t)
	k.hold()
	r.breaks(errors.New("bus is gone"))
	runDry(k)
	for late := time.After(10 * time.Second); k.app.Cutouts()[0].Fault == ""; {
		select {
		case <-r.moved:
		case <-late:
			t.Fatal("the fault is not shown")
		}
	}
	got := k.app.Cutouts()[0]
	if got.Fault != "pin GPIO27 (level): switch GPIO27: bus is gone" || got.Says() != "Heat not cut: it may still be on. Turn it off by hand." {
		t.Errorf("the page says %q, %q", got.Says(), got.Fault)
	}
}

// A daemon that calls nobody and has no cut-out tells of neither.
func TestADaemonWithoutPhonesHasNoSeriesOfThem(t *testing.T) {
	k := newKitchen(t)
	k.poll(time.Second)
	text := metricsOf(t, k.app)
	for _, name := range []string{"bainward_calls", "bainward_notices", "bainward_channel", "bainward_last_proof", "bainward_heartbeat", "bainward_cutout"} {
		if strings.Contains(text, name) {
			t.Errorf("the metrics hold %s", name)
		}
	}
	nobody := newKitchenWith(t, func(o *Options) { o.Phones = func(string) (*Phones, error) { return &Phones{}, nil } })
	if strings.Contains(metricsOf(t, nobody.app), "bainward_calls_ready") {
		t.Error("a site that names no contact is told not to be ready")
	}
}

// The metrics follow a test of the alarms, a call that waits and a channel that
// fails.
func TestTheMetricsTellHowPeopleAreReached(t *testing.T) {
	h := newHouse(t)
	mustTell(t, metricsOf(t, h.app), `bainward_calls_ready 0`, `bainward_calls_open{priority="critical"} 0`)
	h.poll(time.Second)
	h.sorrel.fail(&notice.Failure{Err: errors.New("no such phone"), Final: true})
	if _, err := h.app.TestAlarm(t.Context(), "Robin"); err != nil {
		t.Fatal(err)
	}
	text := metricsOf(t, h.app)
	mustTell(t, text, `bainward_calls_ready 1`)
	if !strings.Contains(text, `bainward_last_proof_timestamp_seconds{channel="robin-phone",contact="Robin"} 1.7`) ||
		strings.Contains(text, `channel="sorrel-phone",contact=`) {
		t.Error("the metrics do not tell that Robin was reached and Sorrel was not")
	}

	h.boilsDry()
	h.pollFor(6 * time.Minute) // until Sorrel is called, too
	for h.attempts(record.GaveUp) < 2 {
		h.poll(time.Second)
	}
	text = metricsOf(t, h.app)
	mustTell(t, text, `bainward_calls_open{priority="critical"} 1`, `bainward_channel_failing{channel="sorrel-phone"} 1`,
		`bainward_channel_failing{channel="robin-phone"} 0`)
	if strings.Contains(text, `bainward_notices_total{channel="sorrel-phone",result="gave-up"} 0`) {
		t.Error("a message to Sorrel was given up and is not counted")
	}
	if log := strings.Join(texts(h.kitchen), "\n"); !strings.Contains(log, "a message could not be delivered: no such phone") {
		t.Errorf("the log does not tell of it:\n%s", log)
	}
}

// The heartbeat's own counts are passed on.
func TestTheMetricsTellOfTheHeartbeat(t *testing.T) {
	beat, err := alive.New(alive.Options{
		URL: notice.NewSecret("http://127.0.0.1:1/beat"), Every: time.Minute, Logger: slog.New(slog.DiscardHandler),
		Well: func() (bool, string) { return false, "nothing is well" },
	})
	if err != nil {
		t.Fatal(err)
	}
	k := newKitchenWith(t, func(o *Options) { o.Heartbeat = beat })
	mustTell(t, metricsOf(t, k.app), `bainward_heartbeat_calls_total 0`, `bainward_heartbeat_failures_total 0`)
}

// ProveOnce has the answers of all ways, each on its own, and a secret that a
// channel lets slip is cut out.
func TestProvingOnceTellsWhatEachWayAnswered(t *testing.T) {
	k := newKitchen(t)
	robin, sorrel := newMailbox("robin-phone"), newMailbox("sorrel-phone")
	sorrel.fail(errors.New("the far end answered 401 to t0psecret"))
	hangs := hanging{"post"}
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	before := k.count(record.KindNotice)
	got := ProveOnce(ctx, k.site, Phones{
		Plan: calls.Plan{Contacts: []calls.Contact{
			{Name: "Robin", Channels: []string{"robin-phone", "post"}}, {Name: "Sorrel", Channels: []string{"sorrel-phone"}},
		}},
		Channels: []notice.Channel{robin, sorrel, hangs}, Kinds: map[string]string{"robin-phone": "mailbox"},
		Secrets: []notice.Secret{notice.NewSecret("t0psecret")},
	}, nine)
	var said []string
	for _, p := range got {
		said = append(said, verdictOf(p))
	}
	want := "Robin robin-phone true taken|Robin post false no answer within 20s|Sorrel sorrel-phone false the far end answered 401 to"
	if text := strings.Join(said, "|"); !strings.HasPrefix(text, want) || strings.Contains(text, "t0psecret") {
		t.Errorf("the proofs say %s", text)
	}
	if n := robin.all(); len(n) != 1 || n[0].Kind != notice.Proof || !strings.Contains(n[0].Text, "This is a test from Alder Yard") {
		t.Errorf("Robin was sent %+v", n)
	}
	if n := k.count(record.KindNotice); n != before {
		t.Errorf("%d notices were recorded", n-before)
	}
}

func verdictOf(p web.Proof) string {
	worked := "true"
	if p.Failed() {
		worked = "false"
	}
	return strings.Join([]string{p.Contact, p.Channel, worked, p.Answer}, " ")
}

// hanging is a channel that heeds no end.
type hanging struct{ name string }

func (h hanging) Name() string { return h.name }

func (h hanging) Send(context.Context, notice.Notice) (string, error) {
	<-make(chan struct{})
	return "", io.EOF
}

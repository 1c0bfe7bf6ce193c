package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"net/http"
	"sync"
	"testing"
	"time"

	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// fakeView is a View whose state a test sets.
type fakeView struct {
	mu      sync.Mutex
	site    SiteInfo
	baths   []fold.Snapshot
	trace   dashboards.Trace
	lines   []LogLine
	broken  error // of Trace and Events
	readers map[chan struct{}]bool
	// subscribed gets a word at every Subscribe and every cancel.
	subscribed chan string
}

func newFakeView(baths ...fold.Snapshot) *fakeView {
	return &fakeView{
		site:  SiteInfo{Name: "Alder Yard", Version: "0.0-test", Recipes: []string{"ribwort-fresh", "marigold-dried"}},
		baths: baths, trace: someTrace(), lines: someLines(),
		readers: make(map[chan struct{}]bool), subscribed: make(chan string, 100),
	}
}

func (v *fakeView) Site() SiteInfo {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.site
}

func (v *fakeView) Snapshots() []fold.Snapshot {
	v.mu.Lock()
	defer v.mu.Unlock()
	return append([]fold.Snapshot(nil), v.baths...)
}

func (v *fakeView) Trace(context.Context, string, time.Duration) (dashboards.Trace, error) {
	return v.trace, v.broken
}

func (v *fakeView) Events(_ context.Context, _ string, n int) ([]LogLine, error) {
	return v.lines[:min(n, len(v.lines))], v.broken
}

func (v *fakeView) Subscribe() (<-chan struct{}, func()) {
	ch := make(chan struct{}, 1)
	v.mu.Lock()
	v.readers[ch] = true
	v.mu.Unlock()
	v.subscribed <- "subscribed"
	return ch, func() {
		v.mu.Lock()
		delete(v.readers, ch)
		v.mu.Unlock()
		v.subscribed <- "cancelled"
	}
}

// set puts a new state in place and tells the readers.
func (v *fakeView) set(baths ...fold.Snapshot) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.baths = baths
	for ch := range v.readers {
		select {
		case ch <- struct{}{}:
		default:
		}
	}
}

// fakeDoer passes on what it was asked for as text.
type fakeDoer struct {
	asked  chan string
	refuse error
}

func newFakeDoer() *fakeDoer { return &fakeDoer{asked: make(chan string, 10)} }

func (d *fakeDoer) did(format string, args ...any) error {
	d.asked <- fmt.Sprintf(format, args...)
	return d.refuse
}

func (d *fakeDoer) Event(_ context.Context, bath string, e rules.Event, who string) error {
	return d.did("event %s %q by %s", bath, e, who)
}

func (d *fakeDoer) Void(_ context.Context, bath string, entry int64, reason, who string) error {
	return d.did("void %s %d %q by %s", bath, entry, reason, who)
}

func (d *fakeDoer) Alarm(_ context.Context, bath string, c alarm.Command, who string) error {
	return d.did("alarm %s %s %s %s %q by %s", bath, c.Action, c.Alarm, c.For, c.Reason, who)
}

func (d *fakeDoer) Recipe(_ context.Context, bath, name, who string) error {
	return d.did("recipe %s %s by %s", bath, name, who)
}

func newHandler(t *testing.T, v View, d Doer) http.Handler {
	t.Helper()
	h, err := New(Options{View: v, Doer: d, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

var errBroken = errors.New("read record: disk gone")

var nan = math.NaN()

// base is a bath that stands idle, with everything that is always known.
func base(name string) fold.Snapshot {
	return fold.Snapshot{
		Bath: name, At: 5400 * time.Second, Wall: time.Date(2026, 3, 1, 10, 30, 0, 0, time.UTC),
		Recipe: rules.Recipe{Name: "ribwort-fresh", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: 220, Oil: "sunflower", OilML: 800, Hold: 2 * time.Hour},
		Rig:    rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Phase:  rules.Idle, Pass: 1, Sentence: "Nothing is on. Put water in the pan and herb and oil in the dish, then light the hob.",
		Celsius:  [sensors.RoleCount]float64{19.8125, 18.5, 19},
		Pressure: 100930, Measured: true, BoilingC: 99.89, FloorC: 84.89, CeilingC: 100.9,
		HoldAsked: 2 * time.Hour, OilMaxC: nan, Estimate: balance.Nothing, BareKg: 1.43,
		ToFloorS: balance.Unknown, ToHeldS: balance.Unknown,
		Next: []rules.EventKind{rules.Fill, rules.Charge, rules.Note},
	}
}

func heating(name string) fold.Snapshot {
	s := base(name)
	s.Batch, s.Phase = name+"-2026-03-01", rules.Heating
	s.Sentence = "The bath is heating up: the oil needs about 30 K more before the hold begins to count."
	s.Celsius = [sensors.RoleCount]float64{54.25, 71.5, 19.5}
	s.OilMaxC = 54.25
	s.Estimate.WaterKg = balance.Range{P10: 1.78, P50: 1.83, P90: 1.88}
	s.ToFloorS = balance.Range{P10: 480, P50: 720, P90: 1140}
	s.ToHeldS = balance.Range{P10: 7680, P50: 7920, P90: 9060}
	s.Next = []rules.EventKind{rules.TopUp, rules.TurnDown, rules.Abandon}
	return s
}

func holding(name string) fold.Snapshot {
	s := heating(name)
	s.Phase, s.Hold = rules.Holding, 52*time.Minute
	s.Sentence = "The oil is hot enough and the hold counts. The bath simmers."
	s.Celsius = [sensors.RoleCount]float64{91.375, 99.6875, 21}
	s.OilMaxC, s.TopUps = 92.1, 2
	s.Estimate = balance.Estimate{
		WaterKg:     balance.Range{P10: 1.52, P50: 1.63, P90: 1.74},
		BoilOffKgH:  balance.Range{P10: 0.45, P50: 0.55, P90: 0.66},
		ToBareS:     balance.Range{P10: 900, P50: 1300, P90: 2100},
		ToDryS:      balance.Range{P10: 7200, P50: 9300, P90: 12000},
		HerbWaterKg: balance.Range{P10: 0.02, P50: 0.04, P90: 0.07},
		HeatW:       balance.Range{P10: 380, P50: 455, P90: 545},
		DishWPerK:   balance.Range{P10: 4.1, P50: 5.2, P90: 6.6},
		BareSoon:    0.12,
	}
	s.ToFloorS, s.ToHeldS = balance.Range{}, balance.Range{P10: 4080, P50: 4080, P90: 4488}
	s.Next = []rules.EventKind{rules.TopUp, rules.TurnDown, rules.Strain}
	return s
}

// boilingDry is a bath whose worst alarm has come up.
func boilingDry(name string) fold.Snapshot {
	s := holding(name)
	s.Sentence = "The pan is boiling dry."
	s.Celsius[sensors.Oil], s.Celsius[sensors.Bath] = 97.4, 104.8
	s.Estimate.WaterKg = balance.Range{P10: 0, P50: 0.02, P90: 0.11}
	s.Estimate.ToBareS, s.Estimate.ToDryS = balance.Range{}, balance.Range{P90: 60}
	s.Alarms[rules.BoilingDry] = fold.Standing{State: alarm.Unacknowledged, Priority: alarm.Critical, Since: s.At - 42*time.Second,
		Text:   "The bath is at 104.8 °C, 4.9 K above the boiling point: there is no water under the probe.",
		Advice: "Turn the heat off. Pour no cold water into the hot pan. Let it cool, then look."}
	s.Alarms[rules.DishBare] = fold.Standing{State: alarm.Acknowledged, Priority: alarm.High, Since: s.At - 11*time.Minute,
		Text: "The water is below the dish base.", Advice: "Add hot water until it covers the base."}
	s.Alarms[rules.ProbeDoubtful] = fold.Standing{State: alarm.Shelved, Priority: alarm.Low, Since: s.At - 3*time.Minute, Until: s.At + 7*time.Minute,
		Text: "The oil probe wanders.", Advice: "Check its plug."}
	return s
}

// poured is a bath into which somebody poured water and entered nothing.
func poured(name string) fold.Snapshot {
	s := holding(name)
	s.Asks, s.AskedKg = true, 0.4
	s.Estimate.HerbGone = true
	return s
}

// silent is a bath whose probes do not answer.
func silent(name string) fold.Snapshot {
	s := holding(name)
	s.Sentence = "The hold does not count while the oil probe is silent."
	s.Celsius = [sensors.RoleCount]float64{nan, nan, nan}
	s.Faults = [sensors.RoleCount]sensors.Fault{sensors.Absent, sensors.AllZero, sensors.NotFitted}
	s.Estimate, s.ToFloorS, s.ToHeldS = balance.Nothing, balance.Unknown, balance.Unknown
	s.Alarms[rules.ProbeSilent] = fold.Standing{State: alarm.Unacknowledged, Priority: alarm.High, Since: s.At - 30*time.Second,
		Text: "The oil probe gives no answer for 30 s.", Advice: "Look at the pan yourself, then at the probe's plug."}
	return s
}

// someTrace is two hours of a bath: it heats, holds, is silent for four
// minutes and is topped up three times.
func someTrace() dashboards.Trace {
	t := dashboards.Trace{Bath: "north", To: 9000 * time.Second, Zero: 9000 * time.Second}
	for s := range 9000 {
		at := time.Duration(s) * time.Second
		bath := min(99.7, 18.5+float64(s)*0.06)
		p := dashboards.Point{At: at, OilC: bath - 8 - 40*math.Exp(-float64(s)/900) + 46*math.Exp(-float64(s)/300), BathC: bath + 0.1*math.Sin(float64(s)), BoilingC: 99.89, FloorC: 84.89}
		if s > 5000 && s < 5240 {
			p.OilC = nan
		}
		t.Points = append(t.Points, p)
	}
	at := func(s int) time.Duration { return time.Duration(s) * time.Second }
	t.Holds = []dashboards.Span{{From: at(2400), To: at(5000)}, {From: at(5240), To: at(9000)}}
	t.Marks = []dashboards.Mark{
		{At: at(20), Text: "light"}, {At: at(1500), Text: "turn-down"}, {At: at(3300), Text: "top-up"},
		{At: at(5030), Kind: dashboards.AlarmMark, Priority: alarm.High, Text: "probe-silent"},
		{At: at(5300), Text: "top-up"}, {At: at(7700), Kind: dashboards.AlarmMark, Priority: alarm.Medium, Text: "top-up-due"}, {At: at(7900), Text: "top-up"},
	}
	return t
}

func someLines() []LogLine {
	wall := time.Date(2026, 3, 1, 10, 28, 0, 0, time.UTC)
	return []LogLine{
		{Entry: 412, Wall: wall, Text: "top-up 500 ml (AB)", Voidable: true},
		{Entry: 398, Wall: wall.Add(-4 * time.Minute), Text: "alarm top-up-due: unacknowledged"},
		{Entry: 371, Wall: wall.Add(-31 * time.Minute), Text: "turn-down (AB)", Voided: true},
		{Entry: 12, Wall: wall.Add(-85 * time.Minute), Text: "fill 1.45 kg (AB)", Voidable: true},
	}
}

// scene returns a bath in the state that its name says.
func scene(name string) fold.Snapshot {
	switch name {
	case "heating":
		return heating(name)
	case "holding":
		return holding(name)
	case "dry":
		return boilingDry(name)
	case "silent":
		return silent(name)
	case "poured":
		return poured(name)
	}
	return base(name)
}

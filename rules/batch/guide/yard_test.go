package guide

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// march is when the tests' clock stands at offset zero.
var march = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// failer is what a test and a property test have in common.
type failer interface {
	Helper()
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

// yard is a bath, its books and its maker, as the daemon keeps them: real rules,
// real books, and a hold of two minutes.
type yard struct {
	t       failer
	cfg     rules.Config
	bath    fold.Bath
	at      time.Duration
	books   ledger.Ledger
	trail   Trail
	stock   Stock
	checks  *Checks
	waiting *Checks
	batch   string
	batches int
	seq     int64
	oil     float64
	frame   sensors.Frame
	cools   amount.Range
	proven  string
	plan    batch.Plan
}

func newYard(t failer, macerations int) *yard {
	y := &yard{t: t, oil: 20, cools: amount.Unknown}
	y.cfg = rules.Config{
		Bath: "north", Rig: rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30}, Elevation: 120, Limits: rules.DefaultLimits(),
		Recipe: rules.Recipe{Name: "ribwort", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: 220, Oil: "sunflower", OilML: 800, Hold: 2 * time.Minute, Macerations: macerations}.Complete(),
	}
	y.plan = batch.Reckon(batch.Ask{Recipe: y.cfg.Recipe, Rig: y.cfg.Rig, Site: batch.Site{Elevation: 120}})
	y.wait(10*time.Second, 20)
	return y
}

func (y *yard) wall() time.Time { return march.Add(y.at) }

// step feeds the rules, and the trail as the daemon does.
func (y *yard) step(in rules.Input, own func()) {
	next, told := y.bath.Step(&y.cfg, in)
	if told.Opened {
		y.batches++
		y.batch = fmt.Sprintf("b%d", y.batches)
		y.trail, y.checks, y.waiting = Trail{}, y.waiting, nil
		y.enter(ledger.Opened{Batch: y.batch, Bath: "north", Recipe: y.cfg.Recipe.Name})
	}
	own()
	y.bath = next
	if told.Before != told.After {
		y.trail.Phase(told.After, next.Rules.Pass(), y.wall())
	}
	if told.Noticed != rules.NoEvent {
		y.event(rules.Event{Kind: told.Noticed})
	}
}

// wait lets so much time pass with the oil at a temperature and the bath near it.
func (y *yard) wait(d time.Duration, oil float64) {
	y.oil = oil
	for ; d > 0; d -= 10 * time.Second {
		y.at += 10 * time.Second
		y.frame = sensors.Frame{At: y.at, Wall: y.wall(), Pressure: sensors.Pressure{Fault: sensors.NotFitted}}
		y.frame.Probes[sensors.Oil] = sensors.AtCelsius(oil)
		y.frame.Probes[sensors.Bath] = sensors.AtCelsius(math.Min(99.5, oil+6))
		y.frame.Probes[sensors.Room] = sensors.AtCelsius(20)
		y.step(rules.OfFrame(y.frame), func() {})
		y.trail.Frame(&y.bath.Rules)
	}
}

func (y *yard) event(e rules.Event) {
	y.step(rules.OfEvent(y.at, e), func() {
		y.seq++
		y.trail.Event(Did{Seq: y.seq, Event: e, When: y.wall(), Who: "Robin"})
	})
}

// did enters events by hand, past the guide.
func (y *yard) did(events string) {
	y.t.Helper()
	all, err := rules.ParseEvents(events)
	if err != nil {
		y.t.Fatalf("%v", err)
	}
	for _, e := range all {
		y.event(e)
	}
}

func (y *yard) enter(f ledger.Fact) {
	y.t.Helper()
	y.seq++
	e := ledger.Entry{Seq: y.seq, When: y.wall(), Who: "Robin", Fact: y.books.Complete(f)}
	if err := y.books.Enter(e); err != nil {
		y.t.Fatalf("the books refuse %s: %v", f, err)
	}
	y.stock.Take(e)
}

func (y *yard) in() In {
	now := y.bath.Show(&y.cfg, y.frame)
	now.Batch = y.batch
	in := In{Now: now, Trail: y.trail.Clone(), Checks: y.checks, Waiting: y.waiting, Proven: y.proven, Called: true,
		Recipes: []string{"ribwort", "marigold"}, Stock: y.stock.Clone(), CoolsS: y.cools}
	if y.batch != "" {
		var err error
		if in.Account, err = y.books.Account(y.batch); err != nil {
			y.t.Fatalf("%v", err)
		}
	}
	if !now.Phase.Lit() {
		in.Plan = &y.plan
	}
	return in
}

func (y *yard) guide() Guide { return Of(y.in()) }

func (y *yard) present() Step { return y.guide().Present() }

// at looks that a step is the present one.
func (y *yard) mustBeAt(id string) Step {
	y.t.Helper()
	s := y.present()
	if s.ID() != id {
		y.t.Fatalf("the maker is led to %s, want %s", s.ID(), id)
	}
	return s
}

func (y *yard) find(id string) Step {
	y.t.Helper()
	for _, s := range y.guide().Steps {
		if s.ID() == id {
			return s
		}
	}
	y.t.Fatalf("there is no step %s", id)
	return Step{}
}

// send fills a step's form in as it is offered, with what else is said, and sends it.
func (y *yard) send(id string, said map[string]string) {
	y.t.Helper()
	s := y.find(id)
	if s.Form == nil {
		y.t.Fatalf("step %s has no form", id)
	}
	v := map[string]string{}
	for name, x := range s.Form.Fixed {
		v[name] = fmt.Sprint(x)
	}
	done := map[string]bool{}
	for _, f := range s.Form.Fields {
		if f.Kind == Tick {
			done[f.Value] = f.Ticked || said[f.Value] != ""
			continue
		}
		v[f.Name] = f.Value
		if f.Kind == Quantity && f.Value != "" {
			v[f.Name] += " " + f.Units[0]
		}
		if x, ok := said[f.Name]; ok {
			v[f.Name] = x
		}
		if f.Required && v[f.Name] == "" {
			y.t.Fatalf("step %s asks for %s, and nobody said it", id, f.Name)
		}
	}
	y.sent(s.Form.To, v, done)
}

func (y *yard) sent(to To, v map[string]string, done map[string]bool) {
	y.t.Helper()
	much := func(s string) ledger.Amount {
		a, err := ledger.ParseAmount(s)
		if err != nil {
			y.t.Fatalf("%v", err)
		}
		return a
	}
	number := func(s string) (n float64) {
		if _, err := fmt.Sscan(s, &n); err != nil {
			y.t.Fatalf("%q: %v", s, err)
		}
		return n
	}
	day, _ := ledger.ParseDay(v["best_before"])
	switch to {
	case ToEvent:
		y.did(strings.TrimSpace(v["event"] + " " + v["quantity"]))
	case ToRecipe:
		y.cfg.Recipe.Name = v["recipe"]
	case ToChecklist:
		c := &Checks{When: y.wall(), Who: "Robin", Done: done}
		if y.bath.Rules.Begun() {
			y.checks = c
		} else {
			y.waiting = c
		}
	case ToMaterial:
		m := ledger.Material{Batch: y.batch, What: ledger.What(v["what"]), Name: v["name"], Lot: v["lot"], BestBefore: day, Quantity: much(v["quantity"]), State: ledger.State(v["state"]), Pass: int(number(v["pass"]))}
		if v["at_c"] != "" {
			m.AtC = number(v["at_c"])
		}
		y.enter(m)
	case ToWeighing:
		y.enter(ledger.Weighing{Batch: y.batch, What: ledger.Weighed(v["what"]), Quantity: much(v["quantity"]), Pass: int(number(v["pass"]))})
	case ToBottles:
		y.enter(ledger.Bottles{Batch: y.batch, Count: int(number(v["count"])), Each: much(v["each"]), AtC: number(v["at_c"]), Place: ledger.Place(v["place"]), Water: ledger.Seen(v["water"])})
	default:
		y.t.Fatalf("a form goes to %q", to)
	}
}

// ready brings a batch to where its heat can be lit.
func (y *yard) ready() {
	y.t.Helper()
	y.send("checklist", allTicked())
	y.send("fill", nil)
	y.send("herb-1", map[string]string{"lot": "hedge, 28 Feb"})
	y.send("oil", map[string]string{"lot": "S-17", "best_before": "2027-05-31"})
	y.send("charge", nil)
}

// strained lights, holds and strains the maceration that is going on.
func (y *yard) strained(pass int) {
	y.t.Helper()
	if pass == 1 {
		y.send("light", nil)
	}
	y.wait(3*time.Minute, 90)
	y.send(id(Strain, pass), nil)
}

func allTicked() map[string]string {
	all := map[string]string{}
	for _, i := range Items(true) {
		all[i.Key] = "yes"
	}
	return all
}

func says(s Step, want string) bool {
	return strings.Contains(strings.Join(slices.Concat(s.Say, s.Did, s.Cautions), "\n"), want)
}

func (y *yard) mustSay(s Step, want string) {
	y.t.Helper()
	if !says(s, want) {
		y.t.Errorf("step %s does not say %q:\n%s", s.ID(), want, strings.Join(slices.Concat(s.Say, s.Did, s.Cautions), "\n"))
	}
}

func field(s Step, name string) Field {
	if s.Form == nil {
		return Field{}
	}
	for _, f := range s.Form.Fields {
		if f.Name == name {
			return f
		}
	}
	return Field{}
}

var _ failer = (*testing.T)(nil)

package rules_test

import (
	"slices"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// plainConfig is an ordinary bath at sea level: the oil's floor is 85.0 °C, and
// its ceiling a degree above the boiling point.
func plainConfig() *rules.Config {
	return &rules.Config{
		Bath:   "north",
		Rig:    rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Recipe: rules.Recipe{Name: "ribwort-fresh", OilML: 800, HerbG: 220, Fresh: true}.Complete(),
		Limits: rules.DefaultLimits(),
	}
}

// series feeds a bath with readings that a test writes down: straight lines from
// where the probes stand to where they shall be.
type series struct {
	t         testing.TB
	cfg       *rules.Config
	s         rules.State
	stood     [rules.IDCount]time.Duration // how long each rule has been raised
	at        time.Duration
	every     time.Duration // between frames
	oil, bath float64       // °C
	room      float64
	fault     [sensors.RoleCount]sensors.Fault
	pressure  sensors.Pressure
	still     bool // readings do not tremble by a step of the chip, as real ones do
	n         int
	raised    map[rules.ID]string // since watch
}

func newSeries(t testing.TB) *series {
	return &series{
		t: t, cfg: plainConfig(), every: time.Second, oil: 20, bath: 20, room: 20,
		pressure: sensors.Pressure{Pascal: 101325},
	}
}

// lit is a bath whose oil is held at 88 °C behind a simmer of 98 °C.
func lit(t testing.TB) *series {
	s := newSeries(t)
	s.do("fill 1.85 kg; charge; light")
	s.to(15*time.Minute, 40, 98)
	s.to(20*time.Minute, 88, 98)
	s.do("turn-down; top-up 0.4 kg")
	s.stay(10 * time.Minute)
	return s
}

// do enters what the maker did.
func (s *series) do(events string) {
	s.t.Helper()
	list, err := rules.ParseEvents(events)
	if err != nil {
		s.t.Fatal(err)
	}
	for _, e := range list {
		s.s, _ = rules.Step(s.cfg, s.s, rules.OfEvent(s.at, e))
	}
}

// to moves oil and bath to these temperatures in d.
func (s *series) to(d time.Duration, oil, bath float64) {
	oil0, bath0 := s.oil, s.bath
	for left := d; left > 0; left -= s.every {
		share := float64(d-left+s.every) / float64(d)
		s.oil, s.bath = oil0+(oil-oil0)*share, bath0+(bath-bath0)*share
		s.frame()
	}
}

func (s *series) stay(d time.Duration) { s.to(d, s.oil, s.bath) }

// frame gives one frame of what the probes read.
func (s *series) frame() {
	s.at += s.every
	s.n++
	tremble := 0.0
	if s.n%3 == 0 && !s.still {
		tremble = 1.0 / 16
	}
	f := sensors.Frame{At: s.at, Pressure: s.pressure}
	for role, c := range [...]float64{sensors.Oil: s.oil + tremble, sensors.Bath: s.bath - tremble, sensors.Room: s.room} {
		f.Probes[role] = sensors.AtCelsius(c)
		if s.fault[role] != sensors.NoFault {
			f.Probes[role] = sensors.Failed(s.fault[role])
		}
	}
	s.give(f)
}

func (s *series) give(f sensors.Frame) {
	s.at = f.At
	s.s, _ = rules.Step(s.cfg, s.s, rules.OfFrame(f))
	for id, found := range s.s.Findings() {
		if found.Level == rules.Raised && rules.Say(rules.ID(id), found, rules.Metric) == "" {
			s.t.Fatalf("%s is raised without a word", rules.ID(id))
		}
	}
	for id, found := range s.s.Findings() {
		s.stood[id] += s.every
		if found.Level != rules.Raised {
			s.stood[id] = 0
		}
		if s.stood[id] > patience(rules.ID(id)) && s.raised != nil {
			s.raised[rules.ID(id)] = s.says(rules.ID(id))
		}
	}
}

// patience is how long a finding lasts before somebody is called, as the
// alarms' on-delays have it; this room may not ask theirs.
func patience(id rules.ID) time.Duration {
	if id == rules.OffTheSimmer {
		return time.Minute
	}
	return 3 * time.Second
}

func (s *series) level(id rules.ID) rules.Level { return s.s.Findings()[id].Level }

func (s *series) says(id rules.ID) string { return rules.Say(id, s.s.Findings()[id], rules.Metric) }

// is fails unless a rule says so now.
func (s *series) is(id rules.ID, want rules.Level) {
	s.t.Helper()
	if got := s.level(id); got != want {
		s.t.Fatalf("after %s %s is %s, want %s (%s)", s.at, id, got, want, s.says(id))
	}
}

// watch notes each rule that is raised for long enough to call somebody.
func (s *series) watch() { s.raised = map[rules.ID]string{} }

// quiet fails if any rule but those allowed called somebody since watch.
func (s *series) quiet(allowed ...rules.ID) {
	s.t.Helper()
	for id, said := range s.raised {
		if !slices.Contains(allowed, id) {
			s.t.Errorf("%s came up: %s", id, said)
		}
	}
}

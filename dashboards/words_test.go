package dashboards

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

func TestWhatIsNotKnownIsSaidToBeUnknown(t *testing.T) {
	s := fold.Snapshot{Estimate: balance.Nothing, BoilingC: nan, FloorC: nan, OilMaxC: nan}
	for role := range sensors.RoleCount {
		s.Celsius[role], s.Faults[role] = nan, sensors.Absent
	}
	w := Describe(s)
	for name, got := range map[string]string{
		"water": w.Water, "to bare": w.ToBare, "to dry": w.ToDry, "boil-off": w.BoilOff,
		"herb water": w.HerbWater, "floor": w.Floor, "hottest oil": w.OilMax,
	} {
		if got != notKnown {
			t.Errorf("%s: %q, want %q", name, got, notKnown)
		}
	}
	if w.Oil != "—" || w.OilNote != "no answer" {
		t.Errorf("oil reads %q, %q", w.Oil, w.OilNote)
	}
	fields := reflect.ValueOf(w)
	for i := range fields.NumField() {
		if text := fields.Field(i).String(); strings.Contains(text, "NaN") {
			t.Errorf("%s: %q", fields.Type().Field(i).Name, text)
		}
	}
}

func TestWordsInMetricUnits(t *testing.T) {
	w := Describe(holding())
	for got, want := range map[string]string{
		w.Oil:         "91.4 °C",
		w.Boiling:     "99.9 °C",
		w.BoilingFrom: "from the barometer: 1009 hPa",
		w.Hold:        "52 min of 2 h 00 min",
		w.HoldNote:    "1 h 08 min to go, counted from 84.9 °C in the oil",
		w.Water:       "about 1.6 l left (1.5 l to 1.7 l)",
		w.ToBare:      "about 22 min (15 min to 35 min)",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestWordsInUSUnits(t *testing.T) {
	s := holding()
	s.Units, s.Measured = rules.US, false
	s.Celsius[sensors.Oil] = 100 // 212 °F by definition
	s.Pressure = 101325          // 29.92 inHg, the standard atmosphere (ISO 2533)
	w := Describe(s)
	if w.Oil != "212.0 °F" {
		t.Errorf("oil %q", w.Oil)
	}
	if w.BoilingFrom != "from the site's height, no barometer: 29.92 inHg" {
		t.Errorf("boiling point %q", w.BoilingFrom)
	}
	if !strings.Contains(w.Water, "fl oz") {
		t.Errorf("water %q", w.Water)
	}
}

func TestTimesLeftInPlainWords(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		r    balance.Range
		want string
	}{
		{balance.Unknown, "not known yet"},
		{balance.Range{}, "bare now"},
		{balance.Range{P10: 0, P50: 300, P90: 900}, "about 5 min, but it may be now (at most 15 min)"},
		{balance.Range{P10: 60, P50: 300, P90: 900}, "about 5 min (60 s to 15 min)"},
		{balance.Range{P10: 600, P50: 1200, P90: inf}, "about 20 min (10 min at the least)"},
		{balance.Range{P10: inf, P50: inf, P90: inf}, "not in sight: hardly any water is lost"},
		{balance.Range{P10: nan, P50: 600, P90: nan}, "about 10 min"},
	} {
		if got := until(c.r, "bare now"); got != c.want {
			t.Errorf("%v: %q, want %q", c.r, got, c.want)
		}
	}
}

func TestOpenAlarmsComeFirstAndGravestFirst(t *testing.T) {
	s := holding()
	s.Alarms[rules.TopUpDue] = fold.Standing{State: alarm.Acknowledged, Priority: alarm.Medium}
	s.Alarms[rules.ProbeSilent] = fold.Standing{State: alarm.Unacknowledged, Priority: alarm.High}
	s.Alarms[rules.BoilingDry] = fold.Standing{State: alarm.Shelved, Priority: alarm.Critical, Until: s.At + 7*time.Minute}
	got := Alarms(s)
	if len(got) != int(rules.IDCount) {
		t.Fatalf("%d alarms, want a place for each of %d", len(got), rules.IDCount)
	}
	if got[0].ID != "probe-silent" || got[1].ID != "top-up-due" || !got[0].Open || !got[1].Open {
		t.Errorf("first come %s and %s", got[0].ID, got[1].ID)
	}
	for _, a := range got[2:] {
		if a.Open {
			t.Errorf("%s is open and not among the first", a.ID)
		}
		if a.ID == "boiling-dry" && (!a.Shelved || !strings.Contains(a.Says, "7 min")) {
			t.Errorf("a shelved alarm reads %q", a.Says)
		}
	}
}

// What may be pressed follows the states of IEC 62682: acknowledge what nobody
// has acknowledged, reset what is latched and acknowledged.
func TestButtonsFollowTheStateOfTheAlarm(t *testing.T) {
	for state, want := range map[alarm.State][2]bool{
		alarm.Normal: {false, false}, alarm.Unacknowledged: {true, false}, alarm.Acknowledged: {false, false},
		alarm.ReturnedUnacknowledged: {true, false}, alarm.LatchedUnacknowledged: {true, false},
		alarm.LatchedAcknowledged: {false, true}, alarm.Shelved: {false, false},
	} {
		s := holding()
		s.Alarms[rules.DishBare].State = state
		for _, a := range Alarms(s) {
			if a.ID == "dish-bare" && [2]bool{a.CanAck, a.CanReset} != want {
				t.Errorf("%s: acknowledge %v, reset %v, want %v", state, a.CanAck, a.CanReset, want)
			}
		}
	}
}

func TestEveryEventIsOfferedOnceAsTheGrammarWantsIt(t *testing.T) {
	seen := make(map[string]bool)
	for _, d := range Deeds([]rules.EventKind{rules.TopUp}, rules.Metric) {
		if seen[d.Event] {
			t.Errorf("%s is offered twice", d.Event)
		}
		seen[d.Event] = true
		if d.Now != (d.Event == "top-up") {
			t.Errorf("%s: makes sense now: %v", d.Event, d.Now)
		}
		_, bare := rules.ParseEvent(d.Event)
		if needs := d.Need == NeedsAmount || d.Need == NeedsText; needs != (bare != nil) {
			t.Errorf("%s alone: %v, but the page asks for more: %v", d.Event, bare, needs)
		}
		for _, u := range d.Units {
			if _, err := rules.ParseEvent(d.Event + " 1.5 " + u); err != nil {
				t.Errorf("an amount that the page offers is refused: %v", err)
			}
		}
		if _, err := rules.ParseEvent(d.Event + " 1 kg"); d.Need == NoAmount && err == nil {
			t.Errorf("%s takes an amount, and the page does not ask for it", d.Event)
		}
	}
	for k := rules.Fill; k <= rules.Note; k++ {
		if !seen[k.String()] {
			t.Errorf("%s is not offered", k)
		}
	}
}

package publish

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// simmering is the north bath of the invented Alder Yard: the bath probe's wire
// is damaged, no room probe is fitted, and water is getting low.
func simmering() fold.Snapshot {
	s := fold.Snapshot{
		Bath: "north", Batch: "2026-03-01/1", Wall: noon,
		Phase: rules.Holding, Pass: 1, Sentence: "Holding; add water soon.",
		Pressure: 99890, Measured: true,
		BoilingC: 99.6, FloorC: 84.6, CeilingC: 100.6,
		Hold: 52 * time.Minute, HoldAsked: 2 * time.Hour, OilMaxC: 92.5, TopUps: 2,
		Estimate: balance.Estimate{
			WaterKg:     balance.Range{P10: 0.5, P50: 0.75, P90: 1},
			BoilOffKgH:  balance.Range{P10: 0.4, P50: 1.0 / 3, P90: 0.9},
			ToBareS:     balance.Range{P10: 600, P50: 900, P90: 1500},
			ToDryS:      balance.Range{P10: 2400, P50: 3600, P90: math.Inf(1)},
			HerbWaterKg: balance.Unknown,
			HeatW:       balance.Range{P10: 500, P50: 620.5, P90: 770},
			DishWPerK:   balance.Range{P10: 4, P50: 5, P90: 6.25},
			BareSoon:    0.125,
		},
		ToHeldS: balance.Range{P10: 4080, P50: 4080, P90: 4488},
		Asks:    true, AskedKg: 0.4,
	}
	s.Celsius = [sensors.RoleCount]float64{sensors.Oil: 91.8125, sensors.Bath: 99, sensors.Room: math.NaN()}
	s.Faults = [sensors.RoleCount]sensors.Fault{sensors.Bath: sensors.BadCRC, sensors.Room: sensors.NotFitted}
	s.Alarms[rules.TopUpDue] = fold.Standing{
		State: alarm.Unacknowledged, Priority: alarm.Medium,
		Text: "Water reaches the dish base in 10 to 25 min.", Advice: "Add half a litre of hot water.",
	}
	return s
}

func TestTheStateDocumentHoldsWhatIsKnown(t *testing.T) {
	var got bytes.Buffer
	if err := json.Indent(&got, encode(stateOf(simmering())), "", "  "); err != nil {
		t.Fatal(err)
	}
	got.WriteByte('\n')
	want, err := os.ReadFile(filepath.Join("testdata", "state.json"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("the document is\n%s\nand testdata/state.json says\n%s", got.Bytes(), want)
	}
}

func TestAChangeOfAnAlarmSaysFromWhereToWhere(t *testing.T) {
	c := Change{
		Bath: "north", Wall: noon,
		Change: alarm.Change{Alarm: rules.DishBare, From: alarm.Normal, To: alarm.Unacknowledged, Priority: alarm.High},
		Text:   "The dish base is bare.", Advice: "Add hot water.",
	}
	const want = `{"at":"2026-03-01T12:00:00Z","bath":"north","from":"normal","alarm":"dish-bare","state":"unacknowledged","priority":"high","text":"The dish base is bare.","advice":"Add hot water."}`
	if got := string(encode(changeOf(c))); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestPlainTopicsAreEmptyWhenNotKnown(t *testing.T) {
	want := map[string]string{
		"phase": "holding", "oil_c": "91.8125", "bath_c": "", "room_c": "", "boiling_c": "99.6",
		"hold_s": "3120", "to_floor_s": "0", "to_held_s": "4080", "to_bare_s": "900", "water_kg": "0.75",
	}
	plain := plainOf(simmering())
	if len(plain) != len(want) {
		t.Errorf("%d plain topics, want %d", len(plain), len(want))
	}
	for _, m := range plain {
		if w, ok := want[m.topic]; !ok || string(m.payload) != w {
			t.Errorf("%s is %q, want %q", m.topic, m.payload, w)
		}
	}
}

func TestNumbersKeepTheProbesStepsAndNoMore(t *testing.T) {
	for n, want := range map[number]string{
		85.0625: "85.0625", -0.0625: "-0.0625", 100: "100", 1.0 / 3: "0.3333", -1e-9: "0",
		number(math.Inf(-1)): "", number(math.NaN()): "",
	} {
		if got := n.String(); got != want {
			t.Errorf("%v is written %q, want %q", float64(n), got, want)
		}
	}
}

// 68 min after noon it is 13:08; what was reached, or does not come within a day,
// has no time.
func TestTimesToComeAreToldAsTimes(t *testing.T) {
	d := stateOf(simmering())
	if d.HeldAt.P50 == nil || *d.HeldAt.P50 != "2026-03-01T13:08:00Z" {
		t.Errorf("held at %v", d.HeldAt.P50)
	}
	if d.FloorAt.P50 != nil {
		t.Errorf("a floor that was reached comes at %s", *d.FloorAt.P50)
	}
	for _, s := range []float64{math.NaN(), math.Inf(1), 86400, 0, -1} {
		if at := comes(noon, s); at != nil {
			t.Errorf("in %v s is told as %s", s, *at)
		}
	}
}

func TestTheQuestionHasNoAmountWhileNothingIsAsked(t *testing.T) {
	s := simmering()
	s.Asks = false
	if d := stateOf(s); d.Asks || d.AskedKg.known() {
		t.Errorf("asks %v, %v kg", d.Asks, d.AskedKg)
	}
}

package dashboards

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
)

// Once the dish stands on the board nobody reckons the water any more, and a
// hold that was cut short has nothing to go.
func TestAStrainedBatchClaimsNothingThatIsOver(t *testing.T) {
	some := balance.Range{P10: 0.1, P50: 0.2, P90: 0.3}
	s := fold.Snapshot{
		Phase: rules.Straining, Hold: 74 * time.Minute, HoldAsked: 2 * time.Hour, FloorC: 84.6,
		Estimate: balance.Estimate{WaterKg: some, BoilOffKgH: some, ToBareS: some, ToDryS: some, HerbWaterKg: some},
	}
	w := Describe(s)
	for what, got := range map[string]string{
		"the water": w.Water, "the water, short": w.WaterShort, "the boil-off": w.BoilOff, "the herb's water": w.HerbWater,
	} {
		if got != "no longer reckoned" {
			t.Errorf("%s is %q", what, got)
		}
	}
	if w.HoldNote != "46 min short" {
		t.Errorf("of the hold it says %q", w.HoldNote)
	}
	s.Phase = rules.Holding
	if w := Describe(s); w.HoldNote != "46 min to go, counted from 84.6 °C in the oil" || w.BoilOff == "no longer reckoned" {
		t.Errorf("while it is held it says %q and %q", w.HoldNote, w.BoilOff)
	}
}

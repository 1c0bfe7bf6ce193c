package dashboards

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

func drawPan(t *testing.T, s fold.Snapshot) string {
	t.Helper()
	var out bytes.Buffer
	if err := DrawPan(&out, s, PanID(s.Bath), false); err != nil {
		t.Fatal(err)
	}
	mustBeXML(t, out.String())
	if strings.Contains(out.String(), "NaN") || strings.Contains(out.String(), "style=") {
		t.Errorf("drawing holds NaN or a style attribute: %s", out.String())
	}
	return out.String()
}

// The level follows from the volume of two cylinders, π/4·d²·h, worked out here
// apart from the drawing: below the dish base the whole pan fills, above it the
// ring beside the dish.
func TestLevelFollowsTheShapeOfThePan(t *testing.T) {
	rig := holding().Rig
	s := shapeOf(rig)
	const density = 0.958 // kg/l near 100 °C (IAPWS-IF97: 958.35 kg/m³ at 100 °C)
	area := func(mm float64) float64 { return math.Pi / 4 * mm * mm }
	bare := area(250) * 30 * 1e-6 * density
	ring := (area(250) - area(205)) * 1e-6 * density // kg a mm of height
	for _, c := range []struct {
		name         string
		kg, heightMM float64
	}{
		{"nothing", 0, 0},
		{"half way to the base", bare / 2, 15},
		{"just to the base", bare, 30},
		{"20 mm over the base", bare + 20*ring, 50},
	} {
		want := s.floor - c.heightMM*s.perMM
		if got := s.level(c.kg, bare); math.Abs(got-want) > 0.01 {
			t.Errorf("%s: level at y=%.2f, want %.2f", c.name, got, want)
		}
	}
}

func TestLevelNeverLeavesThePan(t *testing.T) {
	s := shapeOf(holding().Rig)
	if y := s.level(500, 1.4); y < s.rim || y > s.floor {
		t.Errorf("500 kg stand at y=%v, outside the pan (%v to %v)", y, s.rim, s.floor)
	}
	if y := s.level(-1, 1.4); y != s.floor {
		t.Errorf("less than nothing stands at y=%v, want the floor", y)
	}
}

func TestAnUnknownLevelIsDrawnAsUnknown(t *testing.T) {
	s := holding()
	s.Estimate.WaterKg = balance.Unknown
	svg := drawPan(t, s)
	if !strings.Contains(svg, "p-unknown") || !strings.Contains(svg, "not known") {
		t.Error("nothing says that the level is unknown")
	}
	if strings.Contains(svg, `class="p-water"`) || strings.Contains(svg, "p-surface") {
		t.Error("water is drawn that nobody knows of")
	}
	if svg := drawPan(t, holding()); strings.Contains(svg, `class="p-unknown"`) || !strings.Contains(svg, `class="p-water"`) {
		t.Error("a known level is not drawn as water")
	}
}

func TestTheSoftEdgeReachesFromSurelyToMaybe(t *testing.T) {
	s := holding()
	if svg := drawPan(t, s); !strings.Contains(svg, "url(#pan-north-soft)") {
		t.Error("an uncertain level has no soft edge")
	}
	s.Estimate.WaterKg = balance.Range{P10: 1.6, P50: 1.6, P90: 1.6}
	if svg := drawPan(t, s); strings.Contains(svg, "url(#pan-north-soft)") {
		t.Error("a certain level has a soft edge")
	}
}

func TestSteamRisesOnlyAtTheBoil(t *testing.T) {
	s := holding()
	if !strings.Contains(drawPan(t, s), "p-steam") {
		t.Error("no steam 0.2 K below the boiling point")
	}
	s.Celsius[sensors.Bath] = 90
	if strings.Contains(drawPan(t, s), "p-steam") {
		t.Error("steam 10 K below the boiling point")
	}
	s.Celsius[sensors.Bath] = nan
	if strings.Contains(drawPan(t, s), "p-steam") {
		t.Error("steam from a bath whose temperature is not known")
	}
}

func TestADryPanShowsNoWaterAndNoSteam(t *testing.T) {
	s := holding()
	s.Celsius[sensors.Bath] = 130
	s.Estimate.WaterKg = balance.Range{}
	svg := drawPan(t, s)
	if !strings.Contains(svg, "no water") || !strings.Contains(svg, "p-hot") || strings.Contains(svg, "p-steam") {
		t.Errorf("a dry hot pan is not drawn as one: %s", svg)
	}
}

func TestTheDishLeavesTheBathWhenStrained(t *testing.T) {
	s := holding()
	for _, p := range []rules.Phase{rules.Straining, rules.Settling, rules.Cooling, rules.Bottled} {
		s.Phase = p
		svg := drawPan(t, s)
		if !strings.Contains(svg, "out of the bath") || strings.Contains(svg, "p-pan") || strings.Contains(svg, "p-leaf") {
			t.Errorf("%s: the dish still stands in the bath or holds herb", p)
		}
	}
	for _, p := range []rules.Phase{rules.Idle, rules.Heating, rules.Holding, rules.Abandoned} {
		s.Phase = p
		if svg := drawPan(t, s); !strings.Contains(svg, "p-pan") || !strings.Contains(svg, "p-base") {
			t.Errorf("%s: no pan with its base line", p)
		}
	}
}

func TestAnImpossibleRigStillDraws(t *testing.T) {
	for _, rig := range []rules.Rig{{}, {PanInsideDiameter: 200, DishOutsideDiameter: 250, DishBaseHeight: 30}, {PanInsideDiameter: 200, DishOutsideDiameter: 100, DishBaseHeight: 4000}} {
		s := holding()
		s.Rig = rig
		drawPan(t, s)
	}
}

func TestANameFromThePersonCannotBreakTheDrawing(t *testing.T) {
	s := holding()
	s.Bath = `"><script>alert(1)</script>`
	if svg := drawPan(t, s); strings.Contains(svg, "<script") {
		t.Errorf("drawing holds a script: %s", svg)
	}
}

package site

import (
	"path/filepath"
	"strings"
	"testing"

	"bainward/rules/batch"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/strength"
)

// What the maker measured for a plan comes to it as it was written, in the
// units of the plan.
func TestMeasurementsReachThePlan(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Ask("north", "")
	if err != nil {
		t.Fatal(err)
	}
	if want := (batch.Vessels{PanDepth: 120, DishDepth: 65, DishKg: 1.2, HobW: 900}); a.Vessels != want {
		t.Errorf("vessels are %+v, want %+v", a.Vessels, want)
	}
	want := batch.Given{Sample: larder.Sample{FreshG: 50, DriedG: 9.5}, HerbBulkML: 900, OilAtC: 20, Press: strength.HandPressed}
	if a.Given != want {
		t.Errorf("given is %+v, want %+v", a.Given, want)
	}
	if a.Recipe.Name != "ribwort-fresh" || a.Rig.WetsBaseG != 1430 || a.Site != (batch.Site{Elevation: 120}) {
		t.Errorf("recipe, rig or site is missing in %+v", a)
	}
}

// Weighed oil goes to the plan as a weight, and to the rules and sheets, which
// speak of a volume, as about what it measures: 915 g of olive oil are one litre
// (0.910 to 0.916 kg/l at 20 °C: Codex STAN 33-1981, from memory).
func TestWeighedOilIsAVolumeToo(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Ask("south", "marigold-dried")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "weighed, kg", a.Given.OilKg, 0.915, 1e-12)
	near(t, "volume, ml", a.Recipe.OilML, 1002, 4)
	if a.Vessels != (batch.Vessels{}) {
		t.Errorf("nobody measured the vessels of south, and they are %+v", a.Vessels)
	}
}

// Names that are not in the file are answered with those that are.
func TestAPlanAsksForKnownNames(t *testing.T) {
	s := mustParse(t, designExample)
	if _, err := s.Ask("east", ""); err == nil || !strings.Contains(err.Error(), "it has north") {
		t.Errorf("unknown bath: %v", err)
	}
	if _, err := s.Ask("north", "comfrey"); err == nil || !strings.Contains(err.Error(), "it has ribwort-fresh") {
		t.Errorf("unknown recipe: %v", err)
	}
}

// How herb is strained has three words, and without one it drains.
func TestPressHasThreeWords(t *testing.T) {
	for written, want := range map[string]strength.How{
		"": strength.Drained, `press = "none"`: strength.Drained, `press = "hand"`: strength.HandPressed, `press = "screw"`: strength.ScrewPressed,
	} {
		a, err := mustParse(t, designExample+written+"\n").Ask("north", "")
		if err != nil || a.Given.Press != want {
			t.Errorf("%s: %s (%v), want %s", written, a.Given.Press, err, want)
		}
	}
}

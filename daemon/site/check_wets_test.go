package site

import (
	"strings"
	"testing"
)

// wets is the design's example with a weight for the water at the base.
func wets(grams string) string {
	return strings.Replace(designExample, "oil_probe", "wets_base_g = "+grams+"\noil_probe", 1)
}

// The weighed water reaches the rules and is told beside what the sizes say: a
// cylinder of 250 mm and 30 mm holds π/4 · 25² · 3 = 1472.6 ml.
func TestWeighedWaterReachesTheRules(t *testing.T) {
	s := mustParse(t, wets("1430"))
	cfg, err := s.Config("north", "")
	if err != nil {
		t.Fatal(err)
	}
	if cfg.Rig.WetsBaseG != 1430 {
		t.Errorf("the rules go by %g g, want 1430", cfg.Rig.WetsBaseG)
	}
	if want := "wetted by 1430 g of cold water, as weighed (by the ruler: 1473 g)"; !strings.Contains(s.Explain(), want) {
		t.Errorf("explanation is\n%s\nwant in it %q", s.Explain(), want)
	}
	if cfg, err := mustParse(t, designExample).Config("north", ""); err != nil || cfg.Rig.WetsBaseG != 0 {
		t.Errorf("nobody weighed, and the rules go by %g g (%v)", cfg.Rig.WetsBaseG, err)
	}
}

// Scale and ruler may differ as much as crooked pans do and no more: 0.6 and
// 1.6 times 1472.6 g are 884 and 2356 g.
func TestWeighedWaterMustFitTheSizes(t *testing.T) {
	const again = " g: weigh again or measure again"
	for grams, want := range map[string]string{
		"884": "", "2356": "",
		"883":   "wets_base_g = 883, but pan_inside_diameter_mm = 250 and dish_base_height_mm = 30 make 1473" + again,
		"2357":  "wets_base_g = 2357, but pan_inside_diameter_mm = 250 and dish_base_height_mm = 30 make 1473" + again,
		"1.43":  "wets_base_g = 1.43, but pan_inside_diameter_mm = 250 and dish_base_height_mm = 30 make 1473" + again,
		"0":     "wets_base_g = 0 must be more than 0: the grams of cold water that just wet the base of the dish",
		"-5":    "wets_base_g = -5 must be more than 0: the grams of cold water that just wet the base of the dish",
		"inf":   "wets_base_g = inf is not a number to measure with",
		"\"1\"": `wets_base_g wants a number without quotes: "wets_base_g = \"1\""`,
	} {
		_, err := Parse("test.toml", []byte(wets(grams)))
		if want == "" {
			if err != nil {
				t.Errorf("%s g: %v", grams, err)
			}
			continue
		}
		if full := `test.toml line 10: [[bath]] "north": ` + want; err == nil || err.Error() != full {
			t.Errorf("%s g: %v\nwant %s", grams, err, full)
		}
	}
}

package briefing_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/briefing"
	"bainward/rules/batch/guide"
	"bainward/rules/batch/larder"
)

// nine is when the heat is lit in these tests.
var nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// yard is an ordinary batch of the invented Alder Yard: wilted rosemary in
// olive oil.
func yard() batch.Ask {
	return batch.Ask{
		Recipe:  rules.Recipe{Herb: "Rosmarinus officinalis, leaf", Fresh: true, HerbG: 180, Oil: "olive", OilML: 800, Hold: 2 * time.Hour},
		Rig:     rules.Rig{PanInsideDiameter: 260, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Site:    batch.Site{Elevation: 120},
		Vessels: batch.Vessels{DishDepth: 65, DishKg: 1.2, PanDepth: 120, HobW: 900},
	}
}

func brief(a batch.Ask, u rules.Units) briefing.Briefing {
	p := batch.Reckon(a)
	return briefing.Of(&p, briefing.About{Bath: "north", Units: u, Lit: nine})
}

// all is every word of a briefing that a reader sees, as one text.
func all(b briefing.Briefing) string {
	parts := append([]string{b.What, b.Untimed}, b.Place...)
	for _, i := range append(append([]briefing.Item{}, b.Weigh...), b.Yield...) {
		parts = append(append(parts, i.Name, i.Amount), i.Notes...)
	}
	for _, w := range b.Warnings {
		parts = append(parts, w.Text)
	}
	for _, m := range b.Moments {
		parts = append(parts, m.Clock, m.Spread, m.Text)
	}
	for _, c := range b.Checks {
		parts = append(parts, c.Text, c.Why)
	}
	return strings.Join(append(parts, b.Unlooked...), "\n")
}

// Each thing is told by its weight first, and every volume names its
// temperature. 800 ml of olive oil weigh 729 g: 0.910 to 0.916 times as much as
// water at 20 °C (Codex STAN 33-1981, from memory), whose litre weighs 998 g. The
// pan takes 30 mm of 531 cm² and 20 mm of 201 cm² of water at 0.960 kg/l.
func TestWeightsComeFirstAndVolumesNameTheirTemperature(t *testing.T) {
	b := brief(yard(), rules.Metric)
	for i, want := range []string{"180 g fresh", "729 g (727 g to 731 g)", "1.92 kg (1.74 kg to 2.09 kg)"} {
		if got := b.Weigh[i].Amount; got != want {
			t.Errorf("%s: %q, want %q", b.Weigh[i].Name, got, want)
		}
	}
	for _, i := range append(append([]briefing.Item{}, b.Weigh...), b.Yield...) {
		for _, note := range append(i.Notes, i.Amount) {
			if (strings.Contains(note, " ml") || strings.Contains(note, " l ")) && !strings.Contains(note, "°C") {
				t.Errorf("%s: %q does not say at which temperature", i.Name, note)
			}
		}
	}
}

// A US reader finds no metric unit in the words of the plan itself.
func TestUSReadersReadUSUnits(t *testing.T) {
	text := all(brief(yard(), rules.US))
	for _, unit := range []string{"°C", " kg", " g ", " g,", " ml", " mm"} {
		if strings.Contains(text, unit) {
			t.Errorf("%q stands in\n%s", unit, text)
		}
	}
	for _, want := range []string{"6.3 oz fresh", "1 lb", "211.2 °F", "fl oz", "0.8 in"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing from\n%s", want, text)
		}
	}
}

// What comes is told in order, from the lighting to the end of the hold, by the
// clock to the nearest minute, the likely time within its range.
func TestMomentsAreToldByTheClock(t *testing.T) {
	p := batch.Reckon(yard())
	m := brief(yard(), rules.Metric).Moments
	if len(m) < 5 || m[0].Key != "light" || m[0].Clock != "09:00" || m[0].Spread != "" {
		t.Fatalf("%d moments, the first is %+v", len(m), m[0])
	}
	for i := 1; i < len(m); i++ {
		if m[i].Likely.Before(m[i-1].Likely) || m[i].Earliest.After(m[i].Likely) || m[i].Latest != nil && m[i].Latest.Before(m[i].Likely) {
			t.Errorf("%+v comes after %+v", m[i], m[i-1])
		}
	}
	last := m[len(m)-1]
	want := nine.Add(time.Duration(p.Times.End.P50) * time.Second)
	if last.Key != "end" || !last.Likely.Equal(want) || last.Clock != want.Add(30*time.Second).Format("15:04") {
		t.Errorf("the end is %+v, want %s", last, want)
	}
	if text := all(brief(yard(), rules.Metric)); !strings.Contains(text, "until about "+last.Clock) {
		t.Errorf("nobody is told to stay until %s", last.Clock)
	}
}

// What ends after midnight says so, and what may never come has no latest time.
func TestTheNextDayAndNeverAreSaid(t *testing.T) {
	p := batch.Reckon(yard())
	late := briefing.Of(&p, briefing.About{Lit: nine.Add(14 * time.Hour)}).Moments
	if end := late[len(late)-1]; !strings.HasSuffix(end.Clock, " the next day") {
		t.Errorf("lit at 23:00 it ends at %q", end.Clock)
	}
	p.Times.Hold.P90 = math.Inf(1)
	for _, m := range briefing.Of(&p, briefing.About{Lit: nine}).Moments {
		if m.Key == "floor" && (m.Latest != nil || !strings.HasSuffix(m.Spread, " or later")) {
			t.Errorf("the floor may never come: %+v", m)
		}
	}
}

// Two macerations have two ends.
func TestSeveralMacerationsHaveTheirOwnEnd(t *testing.T) {
	a := yard()
	a.Recipe.Macerations = 2
	m := brief(a, rules.Metric).Moments
	if n := len(m); m[n-1].Key != "all" || !strings.Contains(all(brief(a, rules.Metric)), "strain, fresh herb into the same oil") {
		t.Errorf("the last is %+v", m[n-1])
	}
}

// Oil that by reckoning never gets warm is warned about, has no end, and nobody
// is told to stay until the water boils.
func TestOilThatNeverGetsWarmHasNoEnd(t *testing.T) {
	a := yard()
	a.Recipe.FloorC = 99
	b := brief(a, rules.Metric)
	if text := all(b); !strings.Contains(text, "never comes to 99.0 °C") || strings.Contains(text, "until about") {
		t.Errorf("the plan says\n%s", text)
	}
}

// What is not known is said as such, with the key of the site file that would
// tell, and no figure is made up.
func TestWhatIsNotKnownIsSaid(t *testing.T) {
	a := yard()
	a.Vessels = batch.Vessels{}
	text := strings.Join(brief(a, rules.Metric).Unlooked, "\n")
	for _, want := range []string{"whether the pan boils over. Not known is the inside depth of the pan (pan_depth_mm in the site file)", "dish_depth_mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing from\n%s", want, text)
		}
	}
	b := brief(batch.Ask{}, rules.Metric)
	if len(b.Warnings) > 0 || len(b.Moments) > 0 || b.Untimed == "" {
		t.Errorf("of nothing it says %+v, %+v, %q", b.Warnings, b.Moments, b.Untimed)
	}
	for _, bad := range []string{"NaN", "unknown", `""`} {
		if strings.Contains(all(b), bad) {
			t.Errorf("of nothing it says %q:\n%s", bad, all(b))
		}
	}
}

// A fill of the maker's own is told as theirs, and warned about if it does not
// reach the dish: that takes some 1.53 kg (26 cm wide, 3 cm high, at 97 °C).
func TestTheMakersOwnFillIsJudged(t *testing.T) {
	a := briefing.Change{WaterKg: 1.2}.On(yard())
	b := brief(a, rules.Metric)
	if got := b.Weigh[2].Amount; got != "1.20 kg, as you say" {
		t.Errorf("water: %q", got)
	}
	if len(b.Warnings) == 0 || b.Warnings[0].Warning != "fill-below-base" {
		t.Errorf("warned of %+v", b.Warnings)
	}
}

// A change replaces what the recipe says, and the room that the herb takes
// grows with it; a volume's temperature does not outlive the volume.
func TestAChangeReplacesTheRecipe(t *testing.T) {
	a := yard()
	a.Given = batch.Given{HerbBulkML: 600, OilAtC: 60, Sample: larder.Sample{FreshG: 50, DriedG: 15}}
	got := briefing.Change{HerbKg: 0.36, OilKg: 1.1}.On(a)
	if got.Recipe.HerbG != 360 || got.Given.HerbBulkML != 1200 || got.Given.OilKg != 1.1 || got.Given.OilAtC != 0 || got.Given.Sample != a.Given.Sample {
		t.Errorf("changed to %+v", got)
	}
	if (briefing.Change{}).On(a) != a {
		t.Error("no change changes something")
	}
}

// Weights that no workshop has are refused with what is wanted.
func TestWeightsThatCannotBeAreRefused(t *testing.T) {
	for _, kg := range []float64{0, -1, 0.0005, 101, math.NaN(), math.Inf(1)} {
		if err := briefing.CheckWeight("oil", kg); err == nil || !strings.Contains(err.Error(), "want a weight from 1 g to 100 kg") {
			t.Errorf("%g kg: %v", kg, err)
		}
	}
	if err := briefing.CheckWeight("oil", 0.73); err != nil {
		t.Error(err)
	}
}

// A time of day is the one next to now: today's, also if it was just missed,
// else tomorrow's.
func TestATimeOfDayIsTheNextOne(t *testing.T) {
	for s, want := range map[string]time.Time{
		"09:00": nine, "9:30": nine.Add(30 * time.Minute), "08:15": nine.Add(-45 * time.Minute), "07:00": nine.Add(22 * time.Hour), "00:00": nine.Add(15 * time.Hour),
	} {
		if got, err := briefing.ParseClock(s, nine); err != nil || !got.Equal(want) {
			t.Errorf("%s is %s (%v), want %s", s, got, err, want)
		}
	}
	for _, s := range []string{"", "9", "24:00", "09:60", "09:5", "-1:00", "nine", "09:00:00", "009:00", "+9:00"} {
		if got, err := briefing.ParseClock(s, nine); err == nil || !strings.Contains(err.Error(), "such as 09:00") {
			t.Errorf("%q is %s (%v)", s, got, err)
		}
	}
}

// Cautions come by herb, oil, preparation and law, each with a source, what
// stops the work first: comfrey has some of its own.
func TestCautionsComeByKindWithSources(t *testing.T) {
	a := yard()
	a.Recipe.Herb, a.Recipe.Oil = "Symphytum officinale, root", "sesame"
	b := brief(a, rules.Metric)
	var titles []string
	for _, g := range b.Cautions {
		titles = append(titles, g.Title)
		for i, c := range g.Cautions {
			if c.Source == "" || c.Text == "" || i > 0 && c.Stop && !g.Cautions[i-1].Stop {
				t.Errorf("%s: %+v", g.Title, c)
			}
		}
	}
	if got := strings.Join(titles, ", "); got != "The herb, The oil, The preparation, The law" {
		t.Errorf("groups are %s", got)
	}
}

// The JSON form can always be written: what is not known is null.
func TestTheJSONFormHasNoNaN(t *testing.T) {
	for _, a := range []batch.Ask{{}, yard(), {Recipe: rules.Recipe{FloorC: 99}, Rig: yard().Rig}} {
		text, err := json.Marshal(brief(a, rules.Metric))
		if err != nil {
			t.Fatal(err)
		}
		var back struct {
			Numbers map[string]any
		}
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		if back.Numbers["pressure_pa"] != nil {
			t.Errorf("nobody measured the pressure, and it is %v", back.Numbers["pressure_pa"])
		}
	}
}

// What is to be seen to before lighting names the seven things that the trade
// asks for (common practice, no source), in the words of the guide.
func TestTheChecksBeforeLighting(t *testing.T) {
	text := all(brief(yard(), rules.Metric))
	for _, want := range []string{"dry on the surface", "are clean and dry", "Somebody stays", "gloves", "to smother", "Hot water to top up", "alarms are proven"} {
		if !strings.Contains(text, want) {
			t.Errorf("the checks lack %q", want)
		}
	}
	a := yard()
	a.Recipe.Fresh = false
	if text := all(brief(a, rules.Metric)); !strings.Contains(text, "dried herb crackles") {
		t.Error("dried herb is checked as fresh")
	}
	if got, want := brief(yard(), rules.Metric).Checks, guide.Items(true); !slices.Equal(got, want) {
		t.Errorf("the plan asks for\n%v, the guide for\n%v", got, want)
	}
}

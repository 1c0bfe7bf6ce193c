package cautions_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules/batch/cautions"
	"bainward/rules/batch/larder"
)

// said joins all that is said of p.
func said(p cautions.Preparation) string {
	var b strings.Builder
	for _, c := range cautions.For(p) {
		b.WriteString(c.Text + " " + c.Source + "\n")
	}
	return b.String()
}

// What the named documents ask for reaches the maker, however the herb's name is
// written.
func TestHerbsBringTheirCautions(t *testing.T) {
	for herb, wants := range map[string][]string{
		"Symphytum officinale, root":       {"at most 10 days", "EMA/HMPC/333915/2015", "0.35 µg", "EMA/HMPC/893108/2011", "4 to 6 weeks"},
		"comfrey leaf":                     {"at most 10 days"},
		"Symphytum × uplandicum":           {"at most 10 days"},
		"Calendula officinalis L., flower": {"Asteraceae", "under 6 years", "EMA/267467/2018", "longer than a week"},
		"ARNICA MONTANA, flowers":          {"Asteraceae", "broken skin"},
		"Achillea millefolium":             {"Asteraceae"},
		"St John's wort, flowering tops":   {"strong sun"},
		"Hypericum maculatum":              {"strong sun"},
		"Rosmarinus officinalis, leaf":     {"under 3 years"},
		"Mentha x piperita":                {"menthol"},
		"Borago officinalis":               {"pyrrolizidine"},
		"Digitalis purpurea, leaf":         {"poisonous"},
		"Plantago lanceolata, leaf":        {"No caution of its own"},
		"Salvia":                           {"camphor"},
	} {
		text := said(cautions.Preparation{Herbs: []string{herb}})
		for _, want := range wants {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q is not said in\n%s", herb, want, text)
			}
		}
	}
}

// A caution for one plant is not said of another.
func TestCautionsStayWithTheirPlant(t *testing.T) {
	if text := said(cautions.Preparation{Herbs: []string{"Plantago lanceolata, leaf"}, Oils: []string{"sunflower"}}); strings.Contains(text, "Asteraceae") || strings.Contains(text, "pyrrolizidine") {
		t.Errorf("ribwort: %s", text)
	}
	if text := said(cautions.Preparation{Herbs: []string{"Salvia pratensis"}}); strings.Contains(text, "camphor") {
		t.Errorf("meadow clary: %s", text)
	}
}

// A herb that nobody here knows is answered, not passed over, and stops the work.
func TestAnUnknownHerbIsAnswered(t *testing.T) {
	got := cautions.For(cautions.Preparation{Herbs: []string{"Ignota dubia, leaf"}})
	if !got[0].Stop || !strings.Contains(got[0].Text, "Nothing is known here about Ignota dubia, leaf: ask") {
		t.Errorf("first comes %q", got[0].Text)
	}
	rapid.Check(t, func(t *rapid.T) {
		cs, known := cautions.OfHerbs(larder.ParseName(rapid.String().Draw(t, "name")))
		if len(cs) == 0 || cs[0].Text == "" || !known && !cs[0].Stop {
			t.Errorf("known %v, said %v", known, cs)
		}
	})
}

// How it was made and who gets it add their own.
func TestPreparationAndLaw(t *testing.T) {
	plain := said(cautions.Preparation{})
	for _, want := range []string{"not for eating", "hot, inflamed", "24 to 48 hours", "rancid"} {
		if !strings.Contains(plain, want) {
			t.Errorf("%q is missing from what is always said", want)
		}
	}
	for want, p := range map[string]cautions.Preparation{
		"Fresh herb brings water":   {Fresh: true},
		"within 4 days":             {WaterLeft: true},
		"This is not legal advice":  {GivenAway: true},
		"allergic to almonds":       {Oils: []string{"sweet almond oil"}},
		"allergic to peanuts":       {Oils: []string{"Arachis hypogaea"}},
		"Nothing is known here abo": {Oils: []string{"engine"}},
	} {
		if strings.Contains(plain, want) || !strings.Contains(said(p), want) {
			t.Errorf("%+v: %q is not said, or always", p, want)
		}
	}
}

// The ones that stop the work come first, none comes twice, and each names its source.
func TestCautionsAreInOrder(t *testing.T) {
	got := cautions.For(cautions.Preparation{
		Herbs: []string{"Calendula officinalis", "Digitalis", "Calendula officinalis, flower"}, Fresh: true, WaterLeft: true, GivenAway: true,
	})
	stopped := true
	for i, c := range got {
		if c.Stop && !stopped {
			t.Errorf("%q comes after milder ones", c.Text)
		}
		stopped = c.Stop
		if c.Source == "" || c.About == "" || slices.Contains(got[:i], c) {
			t.Errorf("%+v", c)
		}
	}
}

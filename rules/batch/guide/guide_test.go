package guide

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// A double maceration, from the plan to two bottles, is one way without a fork:
// whoever does what the present step says comes to the shelf.
func TestADoubleMacerationIsLedFromPlanToShelf(t *testing.T) {
	y := newYard(t, 2)
	y.mustBeAt("plan")
	y.send("checklist", allTicked())
	y.mustBeAt("fill")
	y.send("fill", nil)
	y.mustBeAt("herb-1")
	y.send("herb-1", map[string]string{"lot": "hedge, 28 Feb"})
	y.mustBeAt("oil")
	y.send("oil", map[string]string{"lot": "S-17", "best_before": "2027-05-31"})
	y.mustBeAt("charge")
	y.send("charge", nil)
	y.mustBeAt("light")
	y.send("light", nil)
	y.mustBeAt("warm-1")
	y.wait(time.Minute, 90)
	y.mustBeAt("hold-1")
	y.wait(3*time.Minute, 90)
	y.mustBeAt("strain-1")
	y.send("strain-1", nil)
	y.mustBeAt("marc-1")
	y.send("marc-1", map[string]string{"quantity": "120 g"})
	y.mustBeAt("herb-2")
	y.send("herb-2", nil)
	y.mustBeAt("recharge-2")
	y.send("recharge-2", nil)
	y.mustBeAt("warm-2")
	y.wait(time.Minute, 90)
	y.mustBeAt("hold-2")
	y.wait(3*time.Minute, 90)
	y.mustBeAt("strain-2")
	y.send("strain-2", nil)
	y.mustBeAt("marc-2")
	y.send("marc-2", map[string]string{"quantity": "115 g"})
	y.mustBeAt("settle")
	y.send("settle", map[string]string{"quantity": "12 g"})
	y.mustBeAt("oil-out")
	y.send("oil-out", map[string]string{"quantity": "500 g"})
	y.mustBeAt("cool")
	y.wait(30*time.Minute, 22)
	y.mustBeAt("bottle")
	y.send("bottle", map[string]string{"count": "2", "each": "250 ml", "water": "none"})
	y.mustBeAt("close")
	y.send("close", nil)
	last := y.mustBeAt("label")
	if g := y.guide(); len(g.Missing) > 0 || len(last.Links) != 2 {
		t.Errorf("missing are %q, papers are %v", g.Missing, last.Links)
	}
	if v := y.in().Now.Verdict; v != rules.Held {
		t.Errorf("the verdict is %s", v)
	}
}

// What recipe, plan and earlier batches know is offered, with where it comes from.
func TestWhatIsKnownIsOffered(t *testing.T) {
	y := newYard(t, 2)
	y.ready()
	y.strained(1)
	herb := y.find("herb-2")
	if f := field(herb, "quantity"); f.Value != "220" || f.Units[0] != "g" || f.From != "as the recipe says" {
		t.Errorf("the herb's weight is offered as %+v", f)
	}
	if f := field(herb, "lot"); f.Value != "hedge, 28 Feb" || f.From != "as in maceration 1" {
		t.Errorf("the lot of the second herb is offered as %+v", f)
	}
	if herb.Form.Fixed["name"] != "Plantago lanceolata, leaf" || herb.Form.Fixed["state"] != "fresh" {
		t.Errorf("name and state are asked for: %v", herb.Form.Fixed)
	}
	y.did("abandon; fill 2 kg")
	if f := field(y.find("oil"), "lot"); f.Value != "S-17" || f.From != "the lot that was used last" {
		t.Errorf("in the next batch the oil's lot is offered as %+v", f)
	}
	if f := field(y.find("oil"), "best_before"); f.Value != "2027-05-31" {
		t.Errorf("the oil's date is offered as %+v", f)
	}
}

// The water is what the plan says; 1.85 kg is what the story of the demo pours into
// that pan.
func TestTheWaterIsThatOfThePlan(t *testing.T) {
	y := newYard(t, 1)
	f := field(y.find("fill"), "quantity")
	if f.From != "so the plan says" || len(f.Value) != 4 || f.Value[:1] != "1" || !slices.Equal(f.Units, []string{"g", "kg", "ml", "l"}) {
		t.Errorf("the water is offered as %+v", f)
	}
}

// Alarms that were proven today are not asked about; else there is a way to prove
// them.
func TestProvenAlarmsAreNotAskedAbout(t *testing.T) {
	y := newYard(t, 1)
	if s := y.find("checklist"); len(s.Links) != 1 || s.Links[0].Text != "Test the alarms" {
		t.Errorf("nothing leads to a test of the alarms: %v", s.Links)
	}
	y.proven = "push to Robin, 2 h ago"
	s := y.find("checklist")
	for _, f := range s.Form.Fields {
		if known := f.From != ""; known != (f.Value == Alarms) || known && !f.Ticked {
			t.Errorf("%s: %+v", f.Value, f)
		}
	}
	if len(s.Links) > 0 {
		t.Errorf("proven alarms want a test: %v", s.Links)
	}
}

// What was not ticked is said before the heat is lit, and can be mended.
func TestWhatWasNotTickedIsSaidBeforeLighting(t *testing.T) {
	y := newYard(t, 1)
	ticked := allTicked()
	delete(ticked, "gloves")
	y.send("checklist", ticked)
	y.mustSay(y.find("checklist"), "not done: dry oven gloves are at hand")
	y.send("fill", nil)
	y.send("herb-1", map[string]string{"lot": "A"})
	y.send("oil", map[string]string{"lot": "S"})
	y.send("charge", nil)
	y.mustSay(y.mustBeAt("light"), "Not ticked before lighting: Dry oven gloves are at hand.")
	y.send("checklist", allTicked())
	if s := y.find("light"); says(s, "Not ticked") {
		t.Error("what was mended is still held against the maker")
	}
}

// A bath that was lit without the list says so, and takes it later.
func TestAListThatWasPassedOverIsMissed(t *testing.T) {
	y := newYard(t, 1)
	y.did("fill 1.8 kg; light")
	s := y.find("checklist")
	if s.Stands != Missed || s.Form == nil {
		t.Errorf("the checklist is %s", s.Stands)
	}
	y.mustSay(s, "lit before anybody went through it")
	if g := y.guide(); !slices.Equal(g.Missing, []string{"Before you light", "Weigh the herb in", "Weigh the oil in"}) {
		t.Errorf("missing are %q", g.Missing)
	}
	y.mustBeAt("warm-1")
}

// A strain before the hold is done is possible, and what it means is said first.
func TestAnEarlyStrainIsCautioned(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.send("light", nil)
	y.wait(time.Minute, 90)
	y.mustBeAt("hold-1")
	if c := y.find("strain-1").Form.Caution; !strings.Contains(c, "too short") {
		t.Errorf("the caution is %q", c)
	}
	y.send("strain-1", nil)
	y.mustSay(y.find("hold-1"), "too short")
}

// Fresh herb may leave water; the guide says how much the bath was thought to hold.
func TestWaterThatIsLikelyLeftIsSaid(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.strained(1)
	s := y.find("settle")
	if !says(s, "The herb still held about") && !says(s, "nobody can say") {
		t.Errorf("nothing is said of water: %q", s.Say)
	}
	y.cfg.Recipe.Fresh = false
	y.trail.herb.HerbWaterKg = amount.Unknown
	y.mustSay(y.find("settle"), "little water is to be expected")
}

// The time to cool is told as a range, and oil that seems cool too soon is doubted:
// the probe was taken out.
func TestCoolingIsForetoldAndDoubted(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.strained(1)
	y.send("oil-out", map[string]string{"quantity": "600 g"})
	y.wait(11*time.Minute, 70)
	y.mustSay(y.mustBeAt("cool"), "shows once it has cooled for some minutes")
	y.cools = amount.Between(4800, 5400, 6600)
	y.mustSay(y.mustBeAt("cool"), "1 h 30 min (1 h 20 min to 1 h 50 min)")
	y.wait(time.Minute, 21)
	y.mustSay(y.mustBeAt("cool"), "is it still in the oil?")
	y.wait(20*time.Minute, 21)
	y.mustBeAt("bottle")
}

// Bottles are reckoned from the weight: 500 g of sunflower oil are some 546 ml at
// 20 °C (0.916 g/ml, the middle of Codex STAN 210), five bottles of 100 ml.
func TestBottlesAreReckonedFromTheWeight(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.strained(1)
	y.send("oil-out", map[string]string{"quantity": "500 g"})
	y.wait(40*time.Minute, 21)
	s := y.mustBeAt("bottle")
	if f := field(s, "count"); f.Value != "5" || !strings.HasPrefix(f.From, "from the oil that was weighed, 54") {
		t.Errorf("the count is offered as %+v", f)
	}
	if f := field(s, "at_c"); f.Value != "21" {
		t.Errorf("the temperature is offered as %+v", f)
	}
	if f := field(s, "water"); f.Value != "" || !f.Required {
		t.Errorf("whether there is water in it is answered before anybody looked: %+v", f)
	}
	y.mustSay(s, "31 May 2027: the base oil's own date")
}

// The strength after each maceration is told apart from the ratio of herb to oil
// obtained.
func TestStrengthIsToldByMaceration(t *testing.T) {
	y := newYard(t, 2)
	y.ready()
	if g := y.guide(); len(g.Strength) != 0 {
		t.Errorf("before any maceration: %q", g.Strength)
	}
	y.strained(1)
	if g := y.guide(); len(g.Strength) != 1 || !strings.HasPrefix(g.Strength[0], "After maceration one: 1 part of dry herb behind ") {
		t.Errorf("after the first: %q", g.Strength)
	}
	y.send("herb-2", nil)
	y.send("recharge-2", nil)
	y.strained(2)
	all := strings.Join(y.guide().Strength, "\n")
	for _, want := range []string{"After maceration two:", "Strength: 1:", "DER (herb used to oil obtained", "it is not the strength"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not said in\n%s", want, all)
		}
	}
}

// While the last batch is over but not closed, a new checklist begins the next.
func TestTheNextBatchBeginsBeforeTheLastIsClosed(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.strained(1)
	y.send("bottle", map[string]string{"count": "2", "each": "250 ml", "water": "none"})
	y.send("close", nil)
	y.send("next", allTicked())
	s := y.mustBeAt("fill")
	if g := y.guide(); g.Batch != "" || len(g.Missing) > 0 {
		t.Errorf("the guide still tells of batch %s, missing %q", g.Batch, g.Missing)
	}
	if s.Form == nil {
		t.Fatal("the next batch cannot begin")
	}
	y.send("fill", nil)
	y.mustBeAt("herb-1")
	if f := field(y.find("herb-1"), "lot"); f.Value != "hedge, 28 Feb" {
		t.Errorf("the lot is offered as %+v", f)
	}
}

// A batch that is given up leads to the next and asks for nothing more.
func TestAGivenUpBatchAsksForNothing(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.send("light", nil)
	y.did("abandon")
	s := y.mustBeAt("given-up")
	if s.Form != nil || s.Go == "" {
		t.Errorf("it asks %+v, and goes on with %q", s.Form, s.Go)
	}
}

// In a US kitchen weights are in ounces and temperatures in °F: 220 g are 7.8 oz
// (NIST Handbook 44), 20 °C are 68 °F.
func TestAUSKitchenReadsItsOwnUnits(t *testing.T) {
	y := newYard(t, 1)
	y.cfg.Units = rules.US
	y.send("checklist", allTicked())
	y.send("fill", nil)
	if f := field(y.find("herb-1"), "quantity"); f.Value != "7.8" || f.Units[0] != "oz" {
		t.Errorf("the herb is offered as %+v", f)
	}
	if f := field(y.find("oil"), "at_c"); f.Value != "68" || f.Units[0] != "°F" {
		t.Errorf("the oil's temperature is offered as %+v", f)
	}
}

// A link leads where the server says; to a page that is not served nothing leads.
func TestLinksLeadWhereTheServerSays(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.strained(1)
	g := y.guide()
	g.Leads(func(p Page) string {
		if p == SheetPage {
			return ""
		}
		return "/" + string(p)
	})
	for _, s := range g.Steps {
		if s.Key == Label && (len(s.Links) != 1 || s.Links[0].To != "/labels") {
			t.Errorf("the papers are at %v", s.Links)
		}
	}
}

// An event that was taken back is to be done again.
func TestAnEventThatWasTakenBackIsAskedAgain(t *testing.T) {
	y := newYard(t, 1)
	y.ready()
	y.mustBeAt("light")
	y.trail.Void(y.seq) // the charge was the last entry
	y.mustBeAt("charge")
}

// Who goes on without a step is shown the one after it, and not one that is done.
func TestWhoGoesOnIsShownWhatComesNext(t *testing.T) {
	y := newYard(t, 1)
	if s := y.guide().Shown([]string{"plan"}); s.ID() != "checklist" {
		t.Errorf("past the plan comes %s", s.ID())
	}
	y.ready()
	y.strained(1)
	y.send("settle", map[string]string{"quantity": "10 g"})
	g := y.guide()
	if s := g.Shown(nil); s.ID() != "marc-1" {
		t.Errorf("shown is %s", s.ID())
	}
	if s := g.Shown([]string{"marc-1"}); s.ID() != "oil-out" {
		t.Errorf("past the marc, with the water poured off, comes %s", s.ID())
	}
	all := []string{}
	for _, s := range g.Steps {
		all = append(all, s.ID())
	}
	if s := g.Shown(all); s.ID() != "next" {
		t.Errorf("past everything comes %s", s.ID())
	}
	if n := g.Macerations(); n != 1 {
		t.Errorf("%d macerations", n)
	}
}

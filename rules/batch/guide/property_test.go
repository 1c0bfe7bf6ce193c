package guide

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"

	"pgregory.net/rapid"
)

// Whatever maker and bath do, in whatever order: exactly one step is present, all
// have names of their own, and none asks for what is in the books. What a form
// offers is accepted.
func TestExactlyOneStepIsPresent(t *testing.T) {
	seen := map[string]bool{}
	missed := walked()
	// Chance does not lead to every step in the first round of walks.
	for round := 0; len(missed) > 0 && round < 40; round++ {
		rapid.Check(t, func(t *rapid.T) {
			y := newYard(t, rapid.IntRange(1, 3).Draw(t, "macerations"))
			for range rapid.IntRange(1, 40).Draw(t, "deeds") {
				y.something(t)
				y.check(seen)
			}
		})
		missed = slices.DeleteFunc(missed, func(step string) bool { return seen[step] })
	}
	for _, step := range missed {
		t.Errorf("no walk came to step %s", step)
	}
}

// walked are the steps that walks must come to.
func walked() []string {
	return []string{
		"plan", "checklist", "fill", "herb-1", "herb-2", "oil", "charge", "light", "warm-1", "warm-2", "hold-1", "hold-2", "strain-1", "marc-1",
		"settle", "oil-out", "bottle", "close", "label", "given-up", "recharge-2",
	}
}

// something is a deed by the guide or past it, or time.
func (y *yard) something(t *rapid.T) {
	switch rapid.IntRange(0, 9).Draw(t, "what") {
	case 0:
		y.wait(time.Duration(rapid.IntRange(1, 20).Draw(t, "tens"))*10*time.Second, rapid.SampledFrom([]float64{20, 22, 60, 88, 92}).Draw(t, "oil"))
	case 1:
		next := y.in().Now.Next
		k := rapid.SampledFrom(next).Draw(t, "event")
		if k == rules.Fill {
			y.did("fill 1.8 kg")
			return
		}
		y.did(k.String())
	case 2:
		y.wait(11*time.Minute, rapid.SampledFrom([]float64{21, 90}).Draw(t, "oil"))
	default:
		var open []Step
		for _, s := range y.guide().Steps {
			if s.Form != nil {
				open = append(open, s)
			}
			if s.Form != nil && s.Stands == Present { // likelier than the rest
				open = append(open, s, s, s, s, s)
			}
		}
		if len(open) == 0 {
			y.wait(time.Minute, 90)
			return
		}
		y.send(rapid.SampledFrom(open).Draw(t, "step").ID(), map[string]string{
			"lot": "A", "count": "1", "each": "50 ml", "water": "none", "quantity": "100 g",
		})
	}
}

// check looks at the guide as it stands.
func (y *yard) check(seen map[string]bool) {
	g := y.guide()
	present, names := 0, map[string]bool{}
	for _, s := range g.Steps {
		if s.Stands == Present {
			present++
			seen[s.ID()] = true
		}
		if names[s.ID()] {
			y.t.Errorf("step %s is there twice", s.ID())
		}
		names[s.ID()] = true
		if s.Title == "" || s.Stands == "" || s.Say == nil || s.Did == nil || s.Cautions == nil {
			y.t.Errorf("step %s is not whole: %+v", s.ID(), s)
		}
		if s.Form != nil {
			y.asksNothingTwice(s)
		}
	}
	if present != 1 {
		y.t.Errorf("%d steps are present in phase %s", present, y.bath.Rules.Phase())
	}
}

func (y *yard) asksNothingTwice(s Step) {
	in := y.in()
	pass, _ := s.Form.Fixed["pass"].(int)
	switch s.Form.To {
	case ToMaterial:
		for _, m := range in.Account.Materials {
			if string(m.Fact.What) == s.Form.Fixed["what"] && m.Fact.Pass == pass {
				y.t.Errorf("step %s asks again for %s", s.ID(), m.Fact)
			}
		}
	case ToWeighing:
		for _, m := range in.Account.Weighings {
			if string(m.Fact.What) == s.Form.Fixed["what"] && m.Fact.Pass == pass {
				y.t.Errorf("step %s asks again for %s", s.ID(), m.Fact)
			}
		}
	case ToEvent:
		k := fmt.Sprint(s.Form.Fixed["event"])
		if _, again := y.trail.find(rules.Strain, s.Pass); again && k == rules.Strain.String() {
			y.t.Errorf("step %s asks again for a strain", s.ID())
		}
	}
}

// The stock offers nothing that was taken back.
func TestTheStockForgetsWhatWasTakenBack(t *testing.T) {
	var s Stock
	for i, lot := range []string{"A", "B"} {
		s.Take(ledger.Entry{Seq: int64(i + 1), Fact: ledger.Material{What: ledger.Oil, Name: "Sunflower", Lot: lot}})
	}
	kept := s.Clone()
	s.Void(2)
	if m, _ := s.last(ledger.Oil, "sunflower"); m.Lot != "A" {
		t.Errorf("the stock offers lot %q", m.Lot)
	}
	if m, _ := kept.last(ledger.Oil, "sunflower"); m.Lot != "B" {
		t.Errorf("a copy forgot lot B as well and offers %q", m.Lot)
	}
	if _, ok := s.last(ledger.Herb, "sunflower"); ok {
		t.Error("an oil is offered as a herb")
	}
}

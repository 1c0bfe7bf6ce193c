package fold_test

import (
	"testing"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/sensors/bench"
)

// A step in place comes to the very value that a step from value to value comes to,
// and that one leaves what it was given as it was.
func TestAStepInPlaceIsTheSameStep(t *testing.T) {
	rows, cfg := twoHours(t), configOf(bench.DefaultRig())
	var bath fold.Bath
	var told fold.Told
	take := func(in rules.Input) {
		before := bath
		next, tells := bath.Step(&cfg, in)
		if bath != before {
			t.Fatalf("a step at %v changed what it was given", in.At)
		}
		bath.Take(&cfg, &in, &told)
		if bath != next || told != tells {
			t.Fatalf("at %v in place %+v, else %+v", in.At, told, tells)
		}
	}
	for i := range rows {
		for _, e := range rows[i].Events {
			take(rules.OfEvent(rows[i].At, e))
		}
		take(rules.OfFrame(rows[i].Frame()))
	}
	if bath.Rules.Hold() == 0 {
		t.Error("nothing was held: these are no two hours of a bath")
	}
}

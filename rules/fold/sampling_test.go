package fold_test

import (
	"slices"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
	"bainward/sensors/bench"
)

// phasesOf lists the phases that a replay tells, and its summary.
func phasesOf(cfg *rules.Config, rows []trace.Row) (phases []string, end fold.Line) {
	fold.Replay(cfg, rows, func(l fold.Line) {
		switch l.Kind {
		case fold.PhaseLine:
			phases = append(phases, l.Phase)
		case fold.SummaryLine:
			end = l
		}
	})
	return phases, end
}

// A trace sampled each ten or thirty seconds tells the same story as one
// sampled each second: the same phases and verdict, and the hold to within two
// samples each time the oil crosses its floor.
func TestASlowTraceTellsTheSameStory(t *testing.T) {
	for _, name := range []string{"nominal-0m", "nominal-2500m", "early-strain", "forgotten-top-up", "mishaps/two-macerations", "mishaps/unlogged-light"} {
		script, cfg := readScript(t, "../../testdata/baths/"+name+".bath"), configOf(bench.DefaultRig())
		rows, _ := run(t, bench.DefaultRig(), script, time.Second)
		phases, end := phasesOf(&cfg, rows)
		for _, every := range []time.Duration{10 * time.Second, 30 * time.Second} {
			slow, _ := run(t, bench.DefaultRig(), script, every)
			gotPhases, gotEnd := phasesOf(&cfg, slow)
			if !slices.Equal(gotPhases, phases) || gotEnd.Verdict != end.Verdict {
				t.Errorf("%s each %s: %v, %s; each second: %v, %s", name, every, gotPhases, gotEnd.Verdict, phases, end.Verdict)
			}
			const crossings = 4
			within := int64(2*every/time.Second) * crossings
			if off := *gotEnd.HoldS - *end.HoldS; off > within || off < -within {
				t.Errorf("%s each %s: a hold of %d s, each second %d s", name, every, *gotEnd.HoldS, *end.HoldS)
			}
			t.Logf("%s each %s: hold %d s of %d s", name, every, *gotEnd.HoldS, *end.HoldS)
		}
	}
}

// Somebody's trace of a bath, without a word of what was done.
func TestATraceWithoutEventsIsJudgedFromItsReadings(t *testing.T) {
	rows, truth := run(t, bench.DefaultRig(), readScript(t, "../../testdata/baths/nominal-0m.bath"), time.Second)
	for i := range rows {
		rows[i].Events = nil
	}
	var held time.Duration // by the truth, to a floor of 15 K below the boiling point
	for _, now := range truth[1:] {
		if now.OilC >= now.BoilingC-15 && now.Dish == bench.OnStand {
			held += time.Second
		}
	}
	cfg := configOf(bench.DefaultRig())
	phases, end := phasesOf(&cfg, rows)
	if !slices.Equal(phases, []string{"heating", "holding"}) {
		t.Errorf("the phases are %v", phases)
	}
	if off := time.Duration(*end.HoldS)*time.Second - held; off > 10*time.Minute || off < -10*time.Minute {
		t.Errorf("a hold of %d s, by the truth %s", *end.HoldS, held)
	}
	if end.Verdict != "held" {
		t.Errorf("the verdict is %s", end.Verdict)
	}
}

func TestAnEmptyTraceSaysNothing(t *testing.T) {
	cfg := configOf(bench.DefaultRig())
	fold.Replay(&cfg, nil, func(l fold.Line) { t.Errorf("it says %s", l.JSON()) })
}

// The program ends and begins again in the middle of a batch on a machine that
// stayed up. Findings, hold and alarms go on as if nothing had happened. Only
// where the clock of the offsets is not known to be one may they differ: the
// hold lacks the gap, and what rests on slopes is judged anew.
func TestTwoHalvesAcrossARestartAreTheWhole(t *testing.T) {
	rows, _ := run(t, bench.DefaultRig(), readScript(t, "../../testdata/baths/forgotten-top-up.bath"), time.Second)
	cfg := configOf(bench.DefaultRig())
	play := func(cuts []int, known bool) fold.Bath {
		var b fold.Bath
		for i := range rows {
			if slices.Contains(cuts, i) {
				b, _ = b.Step(&cfg, rules.Input{Kind: rules.RestartInput, At: rows[i-1].At, GapKnown: known})
			}
			for _, e := range rows[i].Events {
				b, _ = b.Step(&cfg, rules.OfEvent(rows[i].At, e))
			}
			b, _ = b.Step(&cfg, rules.OfFrame(rows[i].Frame()))
		}
		return b
	}
	whole, cuts := play(nil, true), []int{100, 2500, 4000, 6600, 9000, 12000}
	halves := play(cuts, true)
	if halves.Alarms != whole.Alarms || halves.Rules.Findings() != whole.Rules.Findings() || halves.Rules.Hold() != whole.Rules.Hold() {
		t.Error("a restart with a known gap changes what is said")
	}
	torn := play(cuts, false)
	lost := whole.Rules.HoldOfBatch() - torn.Rules.HoldOfBatch()
	if lost <= 0 || lost > time.Duration(len(cuts))*time.Second {
		t.Errorf("%d unknown gaps of a second cost %s of hold, want up to a second each", len(cuts), lost)
	}
	if torn.Rules.Verdict() != whole.Rules.Verdict() {
		t.Errorf("unknown gaps make the verdict %s, want %s", torn.Rules.Verdict(), whole.Rules.Verdict())
	}
}

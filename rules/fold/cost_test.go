package fold_test

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
	"bainward/sensors/bench"
)

// twoHours is the trace of the first two hours of a nominal bath, each second.
func twoHours(tb testing.TB) []trace.Row {
	tb.Helper()
	rows, _ := run(tb, bench.DefaultRig(), readScript(tb, "../../testdata/baths/nominal-0m.bath"), time.Second)
	return rows[:7200]
}

// One input into rules and alarms, as the daemon does it each second.
func BenchmarkStep(b *testing.B) {
	rows, cfg := twoHours(b), configOf(bench.DefaultRig())
	var bath fold.Bath
	for i := range rows {
		for _, e := range rows[i].Events {
			bath, _ = bath.Step(&cfg, rules.OfEvent(rows[i].At, e))
		}
		bath, _ = bath.Step(&cfg, rules.OfFrame(rows[i].Frame()))
	}
	f := rows[len(rows)-1].Frame()
	b.ReportAllocs()
	for b.Loop() {
		f.At += time.Second
		bath, _ = bath.Step(&cfg, rules.OfFrame(f))
	}
}

// The same in place, as a fold of many inputs does it.
func BenchmarkStepInPlace(b *testing.B) {
	rows, cfg := twoHours(b), configOf(bench.DefaultRig())
	var bath fold.Bath
	var told fold.Told
	take := func(in rules.Input) { bath.Take(&cfg, &in, &told) }
	for i := range rows {
		for _, e := range rows[i].Events {
			take(rules.OfEvent(rows[i].At, e))
		}
		take(rules.OfFrame(rows[i].Frame()))
	}
	f := rows[len(rows)-1].Frame()
	b.ReportAllocs()
	for b.Loop() {
		f.At += time.Second
		take(rules.OfFrame(f))
	}
}

func BenchmarkReplayTwoHours(b *testing.B) {
	rows, cfg := twoHours(b), configOf(bench.DefaultRig())
	b.ReportAllocs()
	for b.Loop() {
		fold.Replay(&cfg, rows, func(fold.Line) {})
	}
}

func TestAStepAllocatesNothing(t *testing.T) {
	rows, cfg := twoHours(t), configOf(bench.DefaultRig())
	var s rules.State
	i := 0
	if n := testing.AllocsPerRun(len(rows)-2, func() {
		s, _ = rules.Step(&cfg, s, rules.OfFrame(rows[i].Frame()))
		i++
	}); n != 0 {
		t.Errorf("a step allocates %v times", n)
	}
}

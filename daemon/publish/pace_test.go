package publish

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/sensors"
)

func TestStatesOfWhichNothingChangedGoOutOnceASecond(t *testing.T) {
	var p pace
	var outs []time.Duration
	last := time.Time{}
	for ms := time.Duration(0); ms <= 3000; ms += 100 {
		due := p.next(fold.Snapshot{Hold: ms}, noon.Add(ms*time.Millisecond))
		if due != last {
			outs = append(outs, due.Sub(noon))
			last = due
		}
	}
	for i, out := range outs {
		if want := time.Duration(i) * time.Second; out != want {
			t.Errorf("state %d is due %v after noon, want %v", i, out, want)
		}
	}
	if len(outs) < 4 {
		t.Errorf("only %d states in three seconds", len(outs))
	}
}

func TestAfterAPauseAStateGoesOutAtOnce(t *testing.T) {
	var p pace
	p.next(fold.Snapshot{}, noon)
	later := noon.Add(time.Hour)
	if due := p.next(fold.Snapshot{}, later); due != later {
		t.Errorf("due %v after the state came, want at once", due.Sub(later))
	}
}

func TestWhatPeopleActOnDoesNotWait(t *testing.T) {
	for name, change := range map[string]func(*fold.Snapshot){
		"phase":   func(s *fold.Snapshot) { s.Phase = rules.Holding },
		"batch":   func(s *fold.Snapshot) { s.Batch = "7" },
		"pass":    func(s *fold.Snapshot) { s.Pass = 2 },
		"top-up":  func(s *fold.Snapshot) { s.TopUps = 1 },
		"verdict": func(s *fold.Snapshot) { s.Verdict = rules.Spoiled },
		"fault":   func(s *fold.Snapshot) { s.Faults[sensors.Oil] = sensors.Absent },
		"asks":    func(s *fold.Snapshot) { s.Asks = true },
		"herb":    func(s *fold.Snapshot) { s.Estimate.HerbGone = true },
		"alarm":   func(s *fold.Snapshot) { s.Alarms[rules.DishBare].State = alarm.Unacknowledged },
	} {
		var p pace
		p.next(fold.Snapshot{}, noon)
		var s fold.Snapshot
		change(&s)
		soon := noon.Add(50 * time.Millisecond)
		if due := p.next(s, soon); due != soon {
			t.Errorf("a change of %s waits for %v", name, due.Sub(soon))
		}
	}
}

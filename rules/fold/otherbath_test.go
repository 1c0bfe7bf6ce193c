package fold_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
)

// plainBaths is how many are played; an emulated processor plays a few.
func plainBaths() int {
	if testing.Short() {
		return 6
	}
	return 24
}

// heard is what a replay of a plain bath said, with offsets in seconds.
type heard struct {
	alarms    map[string][]int
	estimates map[int]fold.Line
}

func hear(b *plainBath, c care, seconds int) (heard, []plainTruth, []int) {
	rows, truth, pours := b.play(c, seconds)
	h := heard{alarms: map[string][]int{}, estimates: map[int]fold.Line{}}
	fold.Replay(&b.cfg, rows, func(l fold.Line) {
		at := int(l.At.Sub(rows[0].Wall) / time.Second)
		switch {
		case l.Kind == fold.AlarmLine && l.State == "unacknowledged":
			h.alarms[l.Alarm] = append(h.alarms[l.Alarm], at)
		case l.Kind == fold.EstimateLine:
			h.estimates[at] = l
		}
	})
	return h, truth, pours
}

func firstBare(truth []plainTruth) int {
	return slices.IndexFunc(truth, func(t plainTruth) bool { return t.water < t.bare })
}

// A maker who forgets the water is told before the base is bare, and of a dry
// pan within a minute, whatever the bath.
func TestForgetfulMakerOfAnotherBathIsTold(t *testing.T) {
	var lead, dry []float64
	for seed := range uint64(plainBaths()) {
		b := newPlainBath(seed)
		h, truth, _ := hear(b, forgetful, 5*3600)
		bare := firstBare(truth)
		if bare < 0 {
			continue
		}
		due := h.alarms[rules.TopUpDue.String()]
		if len(due) == 0 || due[0] > bare {
			t.Errorf("bath %d: bare at %d s, top-up-due at %v", seed, bare, due)
			continue
		}
		lead = append(lead, float64(bare-due[0])/60)
		gone := slices.IndexFunc(truth, func(t plainTruth) bool { return t.water <= 0 })
		if gone < 0 || gone > len(truth)-120 {
			continue
		}
		said := h.alarms[rules.BoilingDry.String()]
		if len(said) == 0 || said[0] < gone-120 || said[0] > gone+60 {
			t.Errorf("bath %d: dry at %d s, boiling-dry at %v", seed, gone, said)
			continue
		}
		dry = append(dry, float64(said[0]-gone))
	}
	if len(lead) < plainBaths()/2 || len(dry) < plainBaths()/5 {
		t.Fatalf("too few baths went bare (%d) or dry (%d) to say anything", len(lead), len(dry))
	}
	t.Logf("%d baths, top-up-due ahead of bare: %s min; %d baths, boiling-dry after dry: %s s", len(lead), spreadOf(lead), len(dry), spreadOf(dry))
}

// A careful maker hears of nothing but water, as long as the base is wet.
func TestCarefulMakerOfAnotherBathIsLeftInPeace(t *testing.T) {
	for _, c := range []care{careful, quiet} {
		for seed := range uint64(plainBaths()) {
			b := newPlainBath(seed)
			h, truth, _ := hear(b, c, 3*3600)
			for name, times := range h.alarms {
				for _, at := range times {
					switch {
					case name == rules.TopUpDue.String():
					case name == rules.DishBare.String() && wasBare(truth, at):
					case name == rules.OffTheSimmer.String() && c == quiet && wasBare(truth, at):
					default:
						t.Errorf("care %d, bath %d: %s at %d s", c, seed, name, at)
					}
				}
			}
		}
	}
}

// wasBare reports whether the base was bare within ten minutes before at.
func wasBare(truth []plainTruth, at int) bool {
	for i := max(0, at-600); i <= at; i++ {
		if truth[i].water < truth[i].bare+.02 {
			return true
		}
	}
	return false
}

// Figures of the estimate on plain baths; they are printed, and only what a
// broken estimate would miss is asserted.
func TestEstimatesOnAnotherBath(t *testing.T) {
	var wrong []float64
	inside, all := 0, 0
	for seed := range uint64(plainBaths()) {
		b := newPlainBath(seed)
		h, truth, pours := hear(b, careful, 3*3600)
		for at, l := range h.estimates {
			toBare, ok := trueToBare(truth, pours, at)
			if !ok || l.ToBareS == nil {
				continue
			}
			wrong = append(wrong, math.Abs(l.ToBareS.P50-toBare)/toBare)
			all++
			if l.ToBareS.P10 <= toBare && toBare <= l.ToBareS.P90 {
				inside++
			}
		}
	}
	if all < 10*plainBaths() {
		t.Fatalf("only %d estimates could be held against the truth", all)
	}
	share := float64(inside) / float64(all)
	t.Logf("%d estimates: error of time to bare %s; p10 to p90 covers %.0f %%", all, spreadOf(wrong), 100*share)
	if share < .5 {
		t.Errorf("p10 to p90 covers the truth in %.0f %% of estimates", 100*share)
	}
}

// trueToBare is how long the water lasts from at on at its present pace, from
// five minutes after the first pour on, away from pours.
func trueToBare(truth []plainTruth, pours []int, at int) (float64, bool) {
	if len(pours) == 0 || at < pours[0]+300 {
		return 0, false
	}
	end := min(at+600, len(truth)-1)
	for _, p := range pours {
		if p <= at && at-p < 300 {
			return 0, false
		}
		if p > at {
			end = min(end, p-1)
		}
	}
	if end-at < 60 {
		return 0, false
	}
	pace := (truth[at].water - truth[end].water) / float64(end-at)
	left := (truth[at].water - truth[at].bare) / pace
	return left, pace > 0 && left > 60
}

func spreadOf(v []float64) string {
	s := slices.Sorted(slices.Values(v))
	at := func(q float64) float64 { return s[int(q*float64(len(s)-1))] }
	return fmt.Sprintf("%.2f median, %.2f to %.2f in eight of ten, %.2f at most", at(.5), at(.1), at(.9), s[len(s)-1])
}

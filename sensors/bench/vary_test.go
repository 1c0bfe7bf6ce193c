package bench

import (
	"math"
	"testing"
	"time"
)

func TestDrawnRigsAreSaneAndDiffer(t *testing.T) {
	seen := map[Geometry]bool{}
	for seed := range uint64(1000) {
		r := Vary(seed)
		if err := r.Check(); err != nil {
			t.Errorf("rig %d: %v", seed, err)
		}
		for _, size := range [][2]float64{
			{r.Stated.PanInsideDiameter, r.True.PanInsideDiameter},
			{r.Stated.DishOutsideDiameter, r.True.DishOutsideDiameter},
			{r.Stated.DishBaseHeight, r.True.DishBaseHeight},
		} {
			if off := math.Abs(size[0]/size[1] - 1); off > 0.1+1e-9 {
				t.Errorf("rig %d: a size is stated %.0f %% wrong", seed, off*100)
			}
		}
		if r != Vary(seed) {
			t.Errorf("rig %d is another when it is drawn again", seed)
		}
		seen[r.True] = true
	}
	if len(seen) != 1000 {
		t.Errorf("a thousand draws gave %d geometries", len(seen))
	}
}

// A maker who comes every half hour keeps the base covered and never sees oil
// above the boiling point, whatever the kitchen.
func TestAnAttendedBathIsHeld(t *testing.T) {
	for seed := range uint64(12) {
		end := attended(t, Vary(seed))
		if end.FirstBare != Never || end.FirstDry != Never {
			t.Errorf("rig %d: bare at %s, dry at %s", seed, end.FirstBare, end.FirstDry)
		}
		if end.Dish != Out {
			t.Errorf("rig %d: not strained after %s", seed, end.At)
		}
	}
}

func TestAForgottenBathGoesBareAndThenDry(t *testing.T) {
	for seed := range uint64(6) {
		r := Vary(seed)
		s, err := Attend(r, Habits{TopUpEvery: 30 * time.Minute, TopUps: 1, Hold: 20 * time.Hour, Longest: 12 * time.Hour})
		if err != nil {
			t.Fatal(err)
		}
		end := lastTruth(t, r, s)
		if end.FirstBare == Never || end.FirstDry <= end.FirstBare {
			t.Errorf("rig %d: bare at %s, dry at %s", seed, end.FirstBare, end.FirstDry)
		}
	}
}

func TestMakersEnterWhatTheirHabitsSay(t *testing.T) {
	count := func(h Habits) (topUps int) {
		h.TopUpEvery, h.Longest = 30*time.Minute, 100*time.Minute
		s, err := Attend(DefaultRig(), h)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range s.actions {
			if len(a.said) > 6 && a.said[:6] == "top-up" {
				topUps++
			}
		}
		return topUps
	}
	if n := count(Habits{}); n != 2 {
		t.Errorf("two top-ups are due in 100 min, %d were entered", n)
	}
	if n := count(Habits{SaysTo: 0.5}); n != 2 {
		t.Errorf("a maker who rounds entered %d top-ups, want 2", n)
	}
	if n := count(Habits{Unentered: true}); n != 0 {
		t.Errorf("a maker who enters nothing entered %d top-ups", n)
	}
}

func TestAMakerCanBeginWithALidAndADraught(t *testing.T) {
	h := Habits{TopUpEvery: 30 * time.Minute, First: []string{"lid half", "draught 0.5 m/s"}}
	s, err := Attend(DefaultRig(), h)
	if err != nil {
		t.Fatal(err)
	}
	if end := lastTruth(t, DefaultRig(), s); end.Dish != Out {
		t.Errorf("under half a lid the batch is not strained after %s", end.At)
	}
	h.First = []string{"lid ajar"}
	if _, err := Attend(DefaultRig(), h); err == nil {
		t.Error("an action that cannot be read was done")
	}
}

package alarm

import (
	"fmt"
	"time"

	"bainward/rules"
)

// setPoint says when the finding of an alarm begins, with the limits that hold.
// The delays of its Rationale come on top.
func setPoint(id rules.ID, l *rules.Limits, u rules.Units) string {
	switch id {
	case rules.BoilingDry:
		return fmt.Sprintf("bath above the boiling point of the day by %s and its probe's error, in two readings; or, after a simmer, falling by over %s a minute all through 2 min",
			step(u, l.BoilingDry.FloorK), step(u, l.BoilingDry.AirKPerMin))
	case rules.Overheating:
		return fmt.Sprintf("oil above its ceiling (the recipe's, else the boiling point and the probe's error) in two readings, until %s below it; or above %s and rising faster than this bath can heat it, by at least %s a minute, for 75 s",
			step(u, l.Overheating.ReleaseK), u.Temp(l.Overheating.FromC), step(u, l.Overheating.SlowestKPerMin))
	case rules.DishBare:
		return fmt.Sprintf("bath within %s for %s while the oil falls on, by %s and %s of its distance from the bath; %g times that while the reckoning is sure of water enough",
			step(u, l.DishBare.SteadyK), span(l.DishBare.SteadyS), step(u, l.DishBare.SagK), percent(l.DishBare.SagShare), l.DishBare.DoubtFactor)
	case rules.TopUpDue:
		return fmt.Sprintf("a chance of %s that the base is bare within %s (%s once there was a top-up), until it is half that",
			percent(l.TopUpDue.Chance), span(l.TopUpDue.LeadS), percent(l.TopUpDue.ChanceAfter))
	case rules.BathSilent:
		return fmt.Sprintf("lit, and no reading to trust of either probe for %s", span(l.BathSilent.AfterS))
	case rules.ProbeSilent:
		return fmt.Sprintf("no answer of a probe for %s, from the beginning of a batch until it is strained", span(l.ProbeSilent.AfterS))
	case rules.ProbeDoubtful:
		d := &l.ProbeDoubtful
		return fmt.Sprintf("answers that cannot be, for %s or in 40 %% of the readings; a jump faster than %s a second; the same to the last bit for %s though it must move; oil %s ahead of its bath while both warm; or a bath that stands on its boil for %s over the boiling point of the day by more than %s, its probe's error and that of the pressure",
			span(d.LastsS), step(u, d.JumpKPerS), span(d.StuckS), step(u, d.SwappedK), span(d.BoilS), step(u, d.AboveBoilK))
	case rules.OffTheSimmer:
		return fmt.Sprintf("before the hold is done: bath less than %s above the oil's floor and not climbing by %s a minute; or the oil below its floor and the bath sinking",
			step(u, l.OffTheSimmer.AboveFloorK), step(u, l.OffTheSimmer.ClimbKPerMin))
	case rules.TooShort:
		return fmt.Sprintf("strained before the hold was done; or oil below its floor for %s without climbing", span(l.TooShort.CoolingS))
	case rules.WarmBottling:
		return fmt.Sprintf("oil over %s warmer than the room (%s if no probe reads it) when it is bottled",
			step(u, l.WarmBottling.AboveRoomK), u.Temp(l.WarmBottling.RoomC))
	}
	return ""
}

// step writes a difference of temperatures with all its digits.
func step(u rules.Units, k float64) string {
	if u == rules.US {
		return fmt.Sprintf("%.4g °F", k*1.8)
	}
	return fmt.Sprintf("%.4g °C", k)
}

func span(seconds float64) string {
	return rules.Minutes(time.Duration(seconds * float64(time.Second)))
}

func percent(share float64) string { return fmt.Sprintf("%.3g %%", share*100) }

package bench

import "math"

// hob turns what is drawn into what gets across to the pan floor.
type hob struct {
	spec HobSpec
	set  float64 // W drawn on average
	flow float64 // W on their way to a pan at or below 100 °C
}

// advance moves the clock from now to now+dt (s) and returns the mean heat into
// a pan whose floor has floorC, in W.
func (h *hob) advance(now, dt, floorC float64) float64 {
	want := h.spec.Efficiency * h.drawn(now, dt)
	if h.spec.Lag <= 0 {
		h.flow = want
		return want * h.across(floorC)
	}
	keep := math.Exp(-dt / h.spec.Lag)
	mean := want + (h.flow-want)*h.spec.Lag/dt*(1-keep)
	h.flow = want + (h.flow-want)*keep
	return mean * h.across(floorC)
}

// drawn is the mean power over the step. A thermostat switches between full
// and nothing; the exact mean keeps the step size out of the result.
func (h *hob) drawn(now, dt float64) float64 {
	if h.spec.Period <= 0 || h.set >= h.spec.Power {
		return h.set
	}
	duty := h.set / h.spec.Power
	onUntil := func(t float64) float64 {
		cycles, part := math.Modf(t / h.spec.Period)
		return h.spec.Period * (cycles*duty + math.Min(part, duty))
	}
	return h.spec.Power * (onUntil(now+dt) - onUntil(now)) / dt
}

// across is the share that still gets across when the floor is hotter than
// water lets it be: the plate or flame is only so hot.
func (h *hob) across(floorC float64) float64 {
	const wet = 110
	return min(1, max(0, (h.spec.LimitC-floorC)/(h.spec.LimitC-wet)))
}

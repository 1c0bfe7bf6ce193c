package rules

import (
	"fmt"
	"math"
	"time"

	"bainward/sensors"
)

// OverheatingLimits are what the rule overheating goes by.
//
// The oil is heated by the bath and by nothing else, so two things cannot be:
// oil hotter than water boils, and oil that rises faster than the bath can heat
// it. Either means that heat comes another way: the dish stands on the pan
// floor, the pan is dry, or the dish is on the hob. Oil that hot loses what the
// herb gave it, and smokes and burns further up.
type OverheatingLimits struct {
	// HeatTransfer, W/(m²·K), is the best that a water bath does through the
	// wall of a dish: boiling water outside, free convection of oil inside,
	// where the oil decides. Tables of overall coefficients give 50 to 250 for
	// hot water or steam to oil without a stirrer (from memory).
	HeatTransfer float64 `toml:"heat_transfer_w_m2k" json:"heat_transfer_w_m2k"`
	// SlowestKPerMin: a rise under this is never called too fast. Two steps of
	// a probe (1/8 K) within the 30 s over which the slope is taken.
	SlowestKPerMin float64 `toml:"slowest_k_per_min" json:"slowest_k_per_min"`
	// FromC: below this no rise spoils anything, and probes that were only just
	// put in place still settle.
	FromC float64 `toml:"from_c" json:"from_c"`
	// ReleaseK is how far below the ceiling the oil must be to be well again:
	// 1 % of the probe's range (ISA-18.2 table of starting dead bands, from
	// memory).
	ReleaseK float64 `toml:"release_k" json:"release_k"`
}

var defaultOverheating = OverheatingLimits{HeatTransfer: 250, SlowestKPerMin: 0.5, FromC: 45, ReleaseK: 1.25}

// The causes of overheating.
const (
	overCeiling   Cause = iota // A: highest oil °C, B: ceiling °C
	heatedDirect               // A: rise K/min, B: the fastest a bath gives K/min
	overAndDirect              // A: oil °C, B: rise K/min
)

type hotMemory struct {
	above   int     // readings above the ceiling in a row
	over    bool    // above the ceiling, with the dead band
	peak    float64 // highest oil since, °C
	fast    bool
	quickAt time.Duration // since when the rise is too fast
	quick   bool
}

const (
	// A poured or stirred oil steps once; a heated one keeps rising. Both halves
	// of a minute must be too fast.
	halfRise = 30 * time.Second
	// and it must last this long before it is believed
	riseLasts = 15 * time.Second
	// oilCapacity of vegetable oil, J/(kg·K) at 20–100 °C (Fasina and Colley
	// 2008; 2.0 ± 0.2).
	oilCapacity = 2000.0
	// leastOil stands in when the recipe does not say how much oil there is.
	leastOil = 0.25
)

func judgeOverheating(cfg *Config, s *State, v *sight) Finding {
	m := &s.hot
	if v.oil.tooHot() {
		return s.last[Overheating]
	}
	if !v.oil.good {
		return Finding{}
	}
	lim := &cfg.Limits.Overheating
	switch {
	case v.oil.c > v.ceiling:
		m.above++
		if m.above >= overReadings && !m.over {
			m.over, m.peak = true, v.oil.c
		}
	case v.oil.c < v.ceiling-lim.ReleaseK:
		m.above, m.over = 0, false
	default:
		m.above = 0
	}
	m.peak = math.Max(m.peak, v.oil.c)
	rise, most := s.tooFast(cfg, v)
	switch {
	case m.over && m.fast:
		return raised(overAndDirect, v.oil.c, rise)
	case m.over:
		return raised(overCeiling, m.peak, v.ceiling)
	case m.fast:
		return raised(heatedDirect, rise, most)
	}
	return clear
}

// tooFast judges the rise of the oil against what the bath can do; it returns
// both in K/min.
func (s *State) tooFast(cfg *Config, v *sight) (rise, most float64) {
	m := &s.hot
	late := v.oil.short.between(v.now-halfRise, v.now)
	if !m.fast && late.slope <= cfg.Limits.Overheating.SlowestKPerMin/60 {
		m.quick = false // as most of the time: no limit is below that, and the rest need not be asked
		return 0, 0
	}
	early := v.oil.short.between(v.now-2*halfRise, v.now-halfRise)
	if !late.whole(halfRise) || !early.whole(halfRise) || !v.bath.good || s.course.strained() ||
		s.swapped.is || v.oil.c < cfg.Limits.Overheating.FromC {
		m.fast, m.quick = false, false
		return 0, 0
	}
	slope := math.Min(late.slope, early.slope)
	lead := math.Max(v.bath.c, v.bath.short.between(v.now-2*halfRise, v.now).high) - v.oil.c +
		cfg.Probes[sensors.Oil].Error(v.oil.c) + cfg.Probes[sensors.Bath].Error(v.bath.c)
	limit := math.Max(math.Max(lead, 0)/quickest(cfg), cfg.Limits.Overheating.SlowestKPerMin/60)
	rise, most = slope*60, limit*60
	if slope <= limit || s.looksSwapped(cfg, v) {
		m.quick = false
		if slope < limit/2 || s.looksSwapped(cfg, v) {
			m.fast = false
		}
		return rise, most
	}
	if !m.quick {
		m.quick, m.quickAt = true, v.now
	}
	if v.now-m.quickAt >= riseLasts {
		m.fast = true
	}
	return rise, most
}

// quickest is the shortest time constant, in s, that oil in this dish can have:
// its heat capacity over the best heat transfer through base and wetted side.
func quickest(cfg *Config) float64 {
	oil := cfg.Recipe.OilML / 1000 * oilDensity
	if oil == 0 {
		oil = leastOil
	}
	d := cfg.Rig.DishOutsideDiameter / 1000
	area := float64(math.Pi/4*d*d) + float64(math.Pi*d*d/4) // base, and a side a quarter as high as the dish is wide
	return oil * oilCapacity / (cfg.Limits.Overheating.HeatTransfer * area)
}

// strained reports whether the dish is out of the bath.
func (c *course) strained() bool {
	return c.phase == Straining || c.phase == Settling || c.phase == Cooling || c.ended()
}

func sayOverheating(f Finding, u Units) string {
	switch f.Cause {
	case heatedDirect:
		return fmt.Sprintf("The oil rises %s a minute; this bath gives at most %s. The dish is being heated directly.", u.TempDiff(f.A), u.TempDiff(f.B))
	case overAndDirect:
		return fmt.Sprintf("The oil is at %s and still rises %s a minute: the dish is being heated directly.", u.Temp(f.A), u.TempDiff(f.B))
	}
	return fmt.Sprintf("The oil went over its ceiling of %s and reached %s.", u.Temp(f.B), u.Temp(f.A))
}

const adviceOverheating = "Turn the heat off. Do not move the hot dish and pour no water in. See whether the dish stands on the pan floor or the pan is dry. If the oil smokes or burns: lid on, heat off, leave it; never water."

package rules

import (
	"fmt"
	"math"
	"time"

	"bainward/rules/balance"
)

// TopUpLimits are what the rule top-up-due goes by.
//
// The water in the pan cannot be seen by a thermometer, so it is reckoned: what
// was put in, less what boils off and evaporates, against what the rig needs to
// wet the base of the dish.
type TopUpLimits struct {
	// LeadS: how long before the base may go bare the maker must know. Eight
	// minutes is time to come from the garden, boil a kettle and pour.
	LeadS float64 `toml:"lead_s" json:"lead_s"`
	// Chance: how likely it must be before the first top-up. One in five: the
	// boil-off is hardly known then, and a base that goes bare unseen costs the
	// batch, a look at the pan half a minute. ChanceAfter: afterwards, when the
	// maker has seen the water and the climb has told the boil-off; an alarm that
	// comes too early too often is not heard.
	Chance      float64 `toml:"chance" json:"chance"`
	ChanceAfter float64 `toml:"chance_after" json:"chance_after"`
	// RestS: after a top-up the rule rests until the water had time to mix.
	RestS float64 `toml:"rest_s" json:"rest_s"`
	// Cover is how far above the base the water should stand after a top-up, mm.
	CoverMM float64 `toml:"cover_mm" json:"cover_mm"`
}

var defaultTopUp = TopUpLimits{LeadS: 480, Chance: 0.2, ChanceAfter: 0.35, RestS: 60, CoverMM: 10}

type topUpMemory struct {
	due bool
}

func (c *Config) panRig() balance.Rig {
	return balance.Rig{
		PanDiameter:  c.Rig.PanInsideDiameter / 1000,
		DishDiameter: c.Rig.DishOutsideDiameter / 1000,
		BaseHeight:   c.Rig.DishBaseHeight / 1000,
		WetsBaseKg:   c.Rig.WetsBaseG / 1000,
		OilKg:        c.Recipe.OilML / 1000 * oilDensity,
		HerbKg:       c.Recipe.HerbG / 1000,
		Fresh:        c.Recipe.Fresh,
		Prior:        c.Prior,
	}
}

// oilDensity is that of a vegetable oil at 20 °C, kg/l (Codex STAN 33: olive
// 0.910 to 0.916 of water's).
const oilDensity = 0.913

// BareKg is the water in the pan when the base of the dish is just bare, kg.
func (c *Config) BareKg() float64 { return c.panRig().BareKg(95) }

// pourDensity is the density of cold tap water, kg/l (998.2 at 20 °C, IAPWS).
const pourDensity = 0.998

// pour tells the balance of water that the maker put in.
func (s *State) pour(cfg *Config, e Event) {
	kg := math.NaN()
	if e.Quantity.Given() {
		kg = e.Quantity.Kilograms(pourDensity)
	}
	s.water.Poured(cfg.panRig(), kg, e.Kind == Fill && !s.course.lit)
	s.fresh.due = false
}

// weighWater lets the balance see this instant.
func (s *State) weighWater(cfg *Config, v *sight) {
	if !s.Begun() || s.course.strained() {
		return
	}
	seen := s.water.Seen.Pours
	s.water.Step(cfg.panRig(), balance.Sight{
		Seconds: v.since.Seconds(), Bath: known(v.bath), Oil: known(v.oil), Room: known(v.room),
		Boiling: v.boiling, Pascal: v.pascal, Lit: s.course.lit, LeadS: cfg.Limits.TopUpDue.LeadS,
	})
	if s.water.Seen.Pours > seen {
		s.noticed = TopUp
	}
}

// answers reports whether e only says how much a top-up was that was seen and
// entered as seen.
func (s *State) answers(e Event) bool { return e.Quantity.Given() && s.water.Asks() }

func known(p *probe) float64 {
	if !p.good {
		return math.NaN()
	}
	return p.c
}

func judgeTopUpDue(cfg *Config, s *State, v *sight) Finding {
	m, lim := &s.fresh, &cfg.Limits.TopUpDue
	e := s.water.Estimate()
	if !s.course.lit || !e.ToBareS.Known() {
		m.due = false
		return Finding{}
	}
	chance := lim.Chance
	if s.course.topUps > 0 {
		chance = lim.ChanceAfter
	}
	rests := s.course.poured && (v.now-s.course.lastIn).Seconds() < lim.RestS
	switch {
	case rests:
		m.due = false
	case e.BareSoon >= chance:
		m.due = true
	case e.BareSoon < chance/2:
		m.due = false
	}
	if !m.due {
		return clear
	}
	rig := cfg.panRig()
	full := rig.BareKg(95) + float64(lim.CoverMM/rig.BaseHeight/1000*rig.BareKg(95))
	return raised(0, e.ToBareS.P50, math.Max(0.1, full-e.WaterKg.P50))
}

func sayTopUpDue(f Finding, u Units) string {
	if f.A <= 0 {
		return fmt.Sprintf("By reckoning the water no longer covers the base of the dish. Add about %s.", u.Water(f.B))
	}
	return fmt.Sprintf("Water is due: the base of the dish goes bare in about %s. Add about %s.", Minutes(secondsOf(f.A)), u.Water(f.B))
}

// WaterDue returns what a finding of top-up-due says: in how long the base goes
// bare, 0 if it is, and how much to add, kg.
func WaterDue(f Finding) (toBare time.Duration, kg float64) {
	return secondsOf(math.Max(0, f.A)), f.B
}

const adviceTopUpDue = "Pour hot water slowly down the side of the pan, not onto the dish: cold water on hot glass can crack it. Then press top-up and say how much."

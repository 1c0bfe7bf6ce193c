package fold

import (
	"math"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// Show returns what there is to see of the bath at a frame.
func (b *Bath) Show(cfg *rules.Config, f sensors.Frame) Snapshot {
	s := &b.Rules
	n := Snapshot{
		Bath: cfg.Bath, At: f.At, Wall: f.Wall, Units: cfg.Units,
		Recipe: cfg.Recipe, Rig: cfg.Rig,
		Phase: s.Phase(), PhaseFor: s.PhaseFor(), Pass: s.Pass(),
		Raw: f.Probes, Hold: s.Hold(), HoldAsked: cfg.Recipe.Hold,
		OilMaxC: math.NaN(), TopUps: s.TopUps(), Verdict: s.Verdict(),
		Estimate: s.Estimate(), BareKg: cfg.BareKg(), Next: next(s),
	}
	for r := range sensors.RoleCount {
		c, fault := s.Celsius(r)
		if fault != sensors.NoFault {
			c = math.NaN()
		}
		n.Celsius[r], n.Faults[r] = c, fault
	}
	n.Pressure, n.Measured, n.BoilingC = s.Air()
	n.FloorC, n.CeilingC = s.Bounds(cfg)
	n.ToFloorS, n.ToHeldS = s.Ahead(cfg)
	n.AskedKg, n.Asks = s.PourSeen()
	if c, ok := s.OilMax(); ok {
		n.OilMaxC = c
	}
	for id := range rules.IDCount {
		n.Alarms[id] = b.standing(cfg, id)
	}
	n.Sentence = sentence(&n)
	return n
}

func (b *Bath) standing(cfg *rules.Config, id rules.ID) Standing {
	a := Standing{
		State: b.Alarms.State(id), Priority: alarm.Of(id).Priority,
		Since: b.Alarms.Since(id), Until: b.Alarms.Until(id),
	}
	if a.State.Open() || a.State == alarm.Shelved && b.Alarms.Finding(id).Level == rules.Raised {
		a.Text = rules.Say(id, b.Alarms.Finding(id), cfg.Units)
		a.Advice = rules.Advice(id)
	}
	return a
}

// next lists the events that make sense in the phase, the likeliest first.
func next(s *rules.State) []rules.EventKind {
	switch s.Phase() {
	case rules.Idle:
		if s.Begun() {
			return []rules.EventKind{rules.Light, rules.Charge, rules.Fill, rules.Abandon}
		}
		return []rules.EventKind{rules.Fill, rules.Charge, rules.Light}
	case rules.Heating:
		return []rules.EventKind{rules.TurnDown, rules.TopUp, rules.Strain, rules.Abandon}
	case rules.Holding:
		return []rules.EventKind{rules.TopUp, rules.TurnDown, rules.Strain, rules.Abandon}
	case rules.Straining, rules.Settling, rules.Cooling:
		return []rules.EventKind{rules.Bottle, rules.Recharge, rules.Abandon}
	}
	return []rules.EventKind{rules.Fill, rules.Charge, rules.Light}
}

// sentence says in plain words what is going on.
func sentence(n *Snapshot) string {
	oil, bath := n.Celsius[sensors.Oil], n.Celsius[sensors.Bath]
	left := n.HoldAsked - n.Hold
	switch n.Phase {
	case rules.Idle:
		if n.Pass > 0 {
			return "Being prepared. Light the heat when the dish is charged and its base is covered."
		}
		return "Nothing on the hob."
	case rules.Heating:
		switch {
		case math.IsNaN(oil) || math.IsNaN(bath):
			return "Heating. A probe is missing, so nobody knows how far it is."
		case bath >= n.BoilingC-1.5:
			return "The bath boils. The oil is " + n.Units.TempDiff(n.FloorC-oil) + " below its floor; turn down to a simmer."
		}
		return "Heating up. The hold begins when the oil reaches " + n.Units.Temp(n.FloorC) + "."
	case rules.Holding:
		switch {
		case left <= 0:
			return "The hold is done. Heat off, then strain when you are ready."
		case math.IsNaN(oil):
			return "Holding, but the oil cannot be read: the hold does not count now."
		case oil < n.FloorC:
			return "The oil fell below its floor; the hold waits at " + rules.Minutes(n.Hold) + "."
		}
		return "Holding. " + rules.Minutes(left) + " to go." + ofHerb(n)
	case rules.Straining:
		return "Straining. Let it drip without pressing."
	case rules.Settling:
		return "Settling. Water sinks below the oil; pour the oil off it."
	case rules.Cooling:
		return "Cooling open to room temperature; bottle when the oil is as cool as the room."
	case rules.Bottled:
		return "Bottled after " + rules.Minutes(n.Hold) + " of hold."
	case rules.Abandoned:
		return "This batch was given up."
	}
	return ""
}

// ofHerb says that the herb has given up its water, where it has.
func ofHerb(n *Snapshot) string {
	if !n.Estimate.HerbGone {
		return ""
	}
	return " The herb has given up its water."
}

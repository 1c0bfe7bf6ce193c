package rules

import (
	"time"

	"bainward/sensors"
)

// Step judges one input: it returns the state after it and what every rule
// says. It is a pure function of its arguments and allocates nothing. Inputs
// must come in the order of their offsets.
func Step(cfg *Config, s State, in Input) (State, Findings) {
	s.Take(cfg, &in)
	return s, s.last
}

// Take is Step for whoever folds many inputs and needs no state but the last: s
// becomes what Step would have returned. A State is so large that copying it
// costs as much as judging.
func (s *State) Take(cfg *Config, in *Input) {
	s.now = in.At
	switch in.Kind {
	case EventInput:
		s.did(cfg, in.Event, in.At)
		v := s.look(cfg, 0)
		s.afterEvent(cfg, &v, in.Event)
	case RestartInput:
		if !in.GapKnown {
			s.forgetContinuity()
		}
	case FrameInput:
		s.frame(cfg, &in.Frame)
	}
}

// sinceFrame is the time since the frame before, 0 if there is none. Events
// and restarts between them do not cut it short: the water boiled all along.
func (s *State) sinceFrame() time.Duration {
	if !s.framed || s.now < s.framedAt {
		return 0
	}
	return s.now - s.framedAt
}

// forgetContinuity drops what rests on one unbroken clock.
func (s *State) forgetContinuity() {
	s.framed, s.hold.linked = false, false
	s.dry.over, s.dry.back = 0, false
	s.hot, s.swapped = hotMemory{}, swapMemory{}
	s.boil.spans, s.boil.stands, s.boil.is = 0, false, false
	for r := range s.probes {
		p := &s.probes[r]
		// What a probe said before is no witness against what it says now.
		*p = probe{c: p.c, fault: p.fault, good: p.good}
	}
}

// frame takes the readings of one instant and asks every rule.
func (s *State) frame(cfg *Config, f *sensors.Frame) {
	since := s.sinceFrame()
	s.frames++
	s.framed, s.framedAt = true, s.now
	for r := range sensors.RoleCount {
		s.probes[r].take(cfg.Probes[r], cfg.Limits.ProbeDoubtful, f.Probes[r], s.now)
	}
	s.air.take(cfg, f.Pressure, s.now)
	v := s.look(cfg, since)
	s.noticed = NoEvent
	if s.noticeHeat(&v) {
		s.noticed = Light
	}
	s.doubtStuck(cfg, &v)
	for r := range s.probes {
		s.probes[r].count(s.now)
	}
	swapped := judgeSwapped(cfg, s, &v)
	s.watchBoil(cfg, &v)
	s.hold.take(&v, s.course.lit && !swapped)
	s.age(cfg, &v)
	s.weighWater(cfg, &v)

	found := &s.last
	found[Overheating] = judgeOverheating(cfg, s, &v)
	found[BoilingDry] = judgeBoilingDry(cfg, s, &v)
	found[DishBare] = judgeDishBare(cfg, s, &v)
	found[TopUpDue] = judgeTopUpDue(cfg, s, &v)
	found[BathSilent] = judgeBathSilent(cfg, s, &v)
	found[ProbeSilent] = judgeProbeSilent(cfg, s, &v)
	found[ProbeDoubtful] = judgeProbeDoubtful(cfg, s, &v)
	found[OffTheSimmer] = judgeOffTheSimmer(cfg, s, &v)
	found[TooShort] = judgeTooShort(cfg, s, &v)
	found[WarmBottling] = s.bottling

	if s.hot.over && s.Begun() {
		s.course.spoiled = true
	}
	s.updateVerdict(cfg)
}

// afterEvent asks the rules that an event alone can move.
func (s *State) afterEvent(cfg *Config, v *sight, e Event) {
	if s.frames == 0 {
		s.air.take(cfg, sensors.Pressure{Fault: sensors.NotFitted}, s.now)
	}
	s.last[TooShort] = judgeTooShort(cfg, s, v)
	s.last[WarmBottling] = s.bottling
	if e.Kind == Abandon || e.Kind == Bottle || !s.course.lit {
		for _, id := range [...]ID{DishBare, TopUpDue, OffTheSimmer} {
			s.last[id] = Finding{}
		}
	}
	if e.Kind == TopUp || e.Kind == Fill {
		s.last[TopUpDue] = judgeTopUpDue(cfg, s, v)
	}
}

// Suppressed reports whether the alarm of a rule is silent by design in this
// phase: once the dish is out of the bath, its water is nobody's worry. A dry
// pan stays one as long as the hob may be on.
func (s *State) Suppressed(id ID) bool {
	switch s.course.phase {
	case Straining, Settling, Cooling, Bottled, Abandoned:
		return id == OffTheSimmer || id == TopUpDue || id == DishBare
	}
	return false
}

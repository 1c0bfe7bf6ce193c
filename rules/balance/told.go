package balance

// SawBare takes it that the base of the dish went bare: the oil says so.
func (s *State) SawBare() {
	const below, sd = 0.04, 0.10 // kg: it takes some minutes to show
	m, _ := s.thought.of(margin)
	s.thought.hear(margin, -below-m, square(sd))
	s.due = tellEvery

}

// Learned returns what this batch taught about the bath, for the next one.
func (s *State) Learned(rig Rig) Prior {
	t := &s.thought
	if !s.has || !s.turned {
		return rig.Prior
	}
	return Prior{
		BareKg: t.x[toWet], BareSD: t.sd(toWet) + float64(0.01*t.x[toWet]),
		SimmerW: s.est.HeatW.P50, SimmerRel: quadrature(t.sd(hob), 0.2),
	}
}

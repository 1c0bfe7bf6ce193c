package balance

import (
	"math"

	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// Sight is what one instant gives to go by. Temperatures are trusted and in
// °C; NaN where there is none.
type Sight struct {
	Seconds float64 // since the instant before
	Bath    float64
	Oil     float64
	Room    float64
	Boiling float64
	Pascal  float64
	Lit     bool
	LeadS   float64 // how far ahead BareSoon looks
}

// State is what is thought of the pan. The zero State knows nothing.
type State struct {
	thought thought
	has     bool // thought means something
	filled  bool // how much water is in the pan was told
	fillKg  float64
	tapC    float64 // of the water that was filled in cold
	tapSeen bool
	turned  bool    // down to a simmer
	full    float64 // heat seen before that, W; 0: never

	now     float64 // s since the first instant
	stirred float64 // when water was last poured in, or the dish changed
	covered float64 // when the base was last seen to be in the water
	boiled  float64 // when the plateau was first stood on; 0: not yet
	plateau plateau
	slope   window
	dip     dip
	dish    dish

	vapour  float64 // of the law, kg/(m²·s), at vapourC
	vapourC float64
	due     float64 // s of data not yet told
	est     Estimate
	told    bool
	Seen    Seen
}

// Seen counts what was noticed in the bath by itself.
type Seen struct {
	Pours int     // that nobody entered
	At    float64 // of the last, s since the first instant
	Kg    float64 // how much it was, roughly
	Open  bool    // nobody has said how much it was
}

const (
	// tellEvery: what is thought is put into words for so many seconds of data.
	tellEvery = 5.0
	// longestStep: a gap longer than this is walked in the dark, by steps.
	longestStep = 60.0
)

// Step follows the pan over one instant.
func (s *State) Step(rig Rig, v Sight) {
	if math.IsNaN(v.Room) {
		v.Room = 20
	}
	s.now += v.Seconds
	if !s.has {
		s.begin(rig)
	}
	if math.IsNaN(v.Bath) {
		s.inTheDark(rig, v)
		return
	}
	s.takeTap(v)
	s.law(v)
	s.plateau.follow(s, v)
	s.watchDip(rig, v)
	s.dish.follow(rig, s, v)
	s.learnHeat(rig, v)
	s.lose(rig, v)
	s.due += v.Seconds
	if !s.told || s.due >= tellEvery {
		s.due, s.told = 0, true
		s.tell(rig, v)
	}
}

// begin thinks of a rig what can be thought before anything is seen.
func (s *State) begin(rig Rig) {
	s.has = true
	t := &s.thought
	bare, sd := rig.bareOf()
	t.forget(toWet, bare, sd)
	cover, coverSD := rig.over(coverMM), rig.over(coverSDMM)
	t.forget(inPan, bare+cover, coverSD)
	// The two belong together: nobody said how much, so what is thought of the
	// water rests on what wets the base.
	t.p[inPan][inPan] += float64(sd * sd)
	t.p[inPan][toWet], t.p[toWet][inPan] = float64(sd*sd), float64(sd*sd)
	t.forget(air, lawMean, lawSD)
	w, rel := rig.simmer()
	t.forget(hob, w, rel+0.3)
	s.dish.begin(rig)
}

// inTheDark lets time pass without a bath probe: the last rate goes on.
func (s *State) inTheDark(rig Rig, v Sight) {
	if !v.Lit || s.boiled == 0 {
		return
	}
	v.Bath = s.plateau.c
	for left := math.Min(v.Seconds, 3600); left > 0; left -= longestStep {
		v.Seconds = math.Min(left, longestStep)
		s.lose(rig, v)
	}
	s.tell(rig, v)
}

// law keeps what the published law says of the bath's evaporation. It costs
// more than the rest, and the bath moves slowly.
func (s *State) law(v Sight) {
	if s.vapour != 0 && math.Abs(v.Bath-s.vapourC) < 0.5 {
		return
	}
	s.vapourC = v.Bath
	s.vapour = steam.StillAirEvaporation(v.Bath, v.Room, 0.5, v.Pascal)
}

// takeTap takes the bath before it is lit for the temperature of the tap.
func (s *State) takeTap(v Sight) {
	if s.filled && !v.Lit && v.Bath < 30 && s.now-s.stirred > 20 {
		s.tapC, s.tapSeen = v.Bath, true
	}
}

// Estimate returns what is thought of the pan.
func (s *State) Estimate() Estimate {
	if !s.told {
		return Nothing
	}
	e := s.est
	if !s.dish.begun {
		e.HerbWaterKg = Unknown // said here and not kept: a state must equal itself
	}
	return e
}

// TurnedDown notes that the heat was set to a simmer.
func (s *State) TurnedDown(rig Rig) {
	if !s.has {
		s.begin(rig)
	}
	s.turned = true
	s.slope = window{}
	s.dip.quietUntil = s.now + 240
	w, rel := rig.simmer()
	if s.full > 0 {
		// between what simmers and what the hob can do: some two fifths of it
		share := repeatable.Log(0.4 * s.full)
		w = (w + share) / 2
	}
	s.thought.forget(hob, w, rel)
	s.hearHalfHour()
	s.due = tellEvery
}

const (
	// halfHourS, halfHourRel: water is added about every half hour (common practice),
	// and one adds it well before it is gone: a fill lasts some fifty minutes
	// from the boil on, to about so much.
	halfHourS, halfHourRel = 3000.0, 0.45
)

// hearHalfHour: how much stands over the base and how fast it boils off are two
// things that the maker has fitted to each other.
func (s *State) hearHalfHour() {
	t := &s.thought
	const latent = 2.26e6
	heat := repeatable.Exp(t.x[hob])
	dish := float64(s.dish.gives() * 15)
	lasts := halfHourS / latent
	m, _ := t.of(margin)
	gone := float64(lasts * math.Max(0.3*heat, heat-dish))
	t.hear(row{inPan: 1, toWet: -1, hob: -float64(lasts * heat)}, gone-m, square(float64(halfHourRel*gone)))
}

package bench

import "time"

// Never is the instant of what has not happened.
const Never time.Duration = -1

// Truth is what really goes on in the bath at one instant. No rule sees it.
type Truth struct {
	At time.Duration

	WaterKg     float64 // liquid in the pan
	BoilOffKgH  float64 // vapour that leaves the pan for good
	HerbWaterKg float64 // water still in the herb
	OilKg       float64
	LevelMM     float64 // quiet water over the pan floor
	HeatW       float64 // into the pan, at this instant

	WaterC, OilC, FloorC, GasC, RoomC float64 // WaterC is the gas's when dry
	PressurePa, BoilingC              float64
	Vigour                            float64 // of the boil: 0 quiet, 1 rolling

	Dish Place
	Bare bool // the dish is on its stand and the water is below its base
	Dry  bool // water has been put in and none is left
	// First instants of the above, or Never. Before the first fill has run in,
	// nothing counts.
	FirstBare, FirstDry time.Duration
	// When the present bare or dry spell began, or Never.
	BareSince, DrySince time.Duration

	Books Books
}

// Books is the account of mass and energy since the start.
type Books struct {
	PouredKg, VapourKg, TakenKg            float64 // water of the pan; Taken: ladled or spilt
	HerbBroughtKg, HerbVapourKg, HerbTaken float64 // water of the herb, kg
	HeatJ                                  float64 // that got into the pan
	LostJ                                  float64 // to the room by surfaces and lid
	CarriedJ                               float64 // with water, vapour and dish contents, in less out
	StoredJ                                float64 // now, less at the start
}

// ledger keeps the running sums of Books.
type ledger struct {
	poured, vapour, taken            float64
	herbWater, herbVapour, herbTaken float64
	heat, lost, carried, start       float64
}

// Truth returns what is true now.
func (p *Pan) Truth() Truth {
	s, l := &p.spells, &p.ledger
	return Truth{
		At: p.at, WaterKg: p.water, BoilOffKgH: p.boilOff * 3600,
		HerbWaterKg: p.dish.moisture, OilKg: p.dish.oil, LevelMM: p.level() * 1000,
		HeatW:  p.hob.flow * p.hob.across(p.floorC()),
		WaterC: p.temp[water], OilC: p.temp[oil], FloorC: p.floorC(), GasC: p.gasC,
		RoomC: p.roomC, PressurePa: p.airPa, BoilingC: p.boilC, Vigour: p.vigour(),
		Dish: p.dish.place, Bare: s.bareSince != Never, Dry: s.drySince != Never,
		FirstBare: s.firstBare, FirstDry: s.firstDry, BareSince: s.bareSince, DrySince: s.drySince,
		Books: Books{
			PouredKg: l.poured, VapourKg: l.vapour, TakenKg: l.taken,
			HerbBroughtKg: l.herbWater, HerbVapourKg: l.herbVapour, HerbTaken: l.herbTaken,
			HeatJ: l.heat, LostJ: l.lost, CarriedJ: l.carried, StoredJ: p.stored() - l.start,
		},
	}
}

// stored is the heat in everything, from the laws themselves and not from the
// steps, so that it can be held against the running sums.
func (p *Pan) stored() float64 {
	sum := p.water*liquidEnthalpy(p.temp[water]) + p.dish.enthalpy(p.temp[oil])
	for _, i := range [...]node{floorRing, floorMid, wall, glassBase, glassSide} {
		sum += p.holds(i) * p.temp[i]
	}
	return sum
}

// spells remembers when the base was bare and the pan dry.
type spells struct {
	filled                                   bool
	firstBare, firstDry, bareSince, drySince time.Duration
}

func newSpells() spells { return spells{false, Never, Never, Never, Never} }

func (s *spells) note(p *Pan) {
	s.filled = s.filled || (p.ledger.poured > 0 && p.pouring <= 0)
	if !s.filled {
		return
	}
	bare := p.dish.place == OnStand && p.level() < p.baseHeight
	mark(bare, p.at, &s.firstBare, &s.bareSince)
	mark(p.water <= 0, p.at, &s.firstDry, &s.drySince)
}

func mark(is bool, at time.Duration, first, since *time.Duration) {
	switch {
	case !is:
		*since = Never
	case *since == Never:
		*since = at
		if *first == Never {
			*first = at
		}
	}
}

package briefing

import (
	"encoding/json"
	"math"

	"bainward/rules/batch"
	"bainward/rules/batch/amount"
)

// Number is a figure for programs: null when it is not known or without end.
type Number float64

// MarshalJSON writes at most four decimals: tenths of a gram.
func (n Number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(math.Round(v*1e4) / 1e4)
}

// Range is a figure with its doubt for programs: of ten such figures, one lies
// below P10 and one above P90.
type Range struct {
	P10 Number `json:"p10"`
	P50 Number `json:"p50"`
	P90 Number `json:"p90"`
}

func rangeOf(r amount.Range) Range { return Range{Number(r.P10), Number(r.P50), Number(r.P90)} }

// Numbers are the plan's figures for programs, in the units of their names.
type Numbers struct {
	PressurePa  Number `json:"pressure_pa"` // measured now; null: the site's height stands in
	RoomC       Number `json:"room_c"`      // measured now; null: 20 °C stand in
	BoilingC    Number `json:"boiling_c"`
	FloorC      Number `json:"floor_c"`
	HerbKg      Number `json:"herb_kg"`
	Fresh       bool   `json:"fresh"`
	OtherKg     Range  `json:"other_kg"` // of dried herb instead of fresh, or fresh instead of dried
	DryKg       Range  `json:"dry_kg"`
	HerbWaterKg Range  `json:"herb_water_kg"`
	DrivesKg    Range  `json:"drives_off_kg"` // of it, at most, in the hold
	OilKg       Range  `json:"oil_kg"`
	OilMl       Range  `json:"oil_ml_20c"`
	OilHotMl    Range  `json:"oil_ml_boiling"`
	CoversMl    Range  `json:"covers_ml_20c"`
	WetsBaseKg  Range  `json:"wets_base_kg"`
	FillKg      Range  `json:"fill_kg"`
	CoverMM     Range  `json:"cover_mm"`
	DishFull    Range  `json:"dish_full"` // share of its depth, hot
	YieldKg     Range  `json:"yield_kg"`
	YieldMl     Range  `json:"yield_ml_20c"`
	OneTo       Range  `json:"one_to"` // parts of oil to 1 of dry herb
	MarcKg      Range  `json:"marc_kg"`
}

func numbersOf(p *batch.Plan) Numbers {
	g, c := &p.Goods, &p.ComesOut
	n := Numbers{
		PressurePa: known(p.Ask.Site.Pascal), RoomC: known(p.Ask.Site.RoomC), BoilingC: Number(p.BoilsC), FloorC: Number(p.FloorC),
		HerbKg: known(g.HerbKg), Fresh: g.Fresh,
		OtherKg: rangeOf(g.OtherKg), DryKg: rangeOf(g.DryKg), HerbWaterKg: rangeOf(g.HerbWaterKg), DrivesKg: rangeOf(p.DrivesKg),
		OilKg: rangeOf(g.OilKg), OilMl: rangeOf(g.OilMl), OilHotMl: rangeOf(g.OilHotMl), CoversMl: rangeOf(g.CoversMl),
		WetsBaseKg: rangeOf(p.Water.BareKg), FillKg: rangeOf(p.Water.FillKg), CoverMM: rangeOf(p.Water.CoverMM),
		DishFull: rangeOf(p.DishFull), YieldKg: rangeOf(c.Kg), YieldMl: rangeOf(c.Ml),
		OneTo: rangeOf(c.Strength.OneTo), MarcKg: rangeOf(c.Strength.MarcKg),
	}
	if c.Why != "" {
		n.OneTo, n.MarcKg = rangeOf(amount.Unknown), rangeOf(amount.Unknown)
	}
	return n
}

// known turns 0, by which an Ask says that nobody said, into no number.
func known(x float64) Number {
	if x == 0 {
		return Number(math.NaN())
	}
	return Number(x)
}

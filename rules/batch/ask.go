package batch

import (
	"math"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/strength"
	"bainward/rules/steam"
)

// Ask is what a plan is reckoned from. Zero values mean that nobody said.
type Ask struct {
	Recipe  rules.Recipe `json:"recipe"`
	Rig     rules.Rig    `json:"rig"`
	Site    Site         `json:"site"`
	Vessels Vessels      `json:"vessels,omitzero"`
	Given   Given        `json:"given,omitzero"`
}

// Site is the place.
type Site struct {
	Elevation float64       `json:"elevation_m"`
	Pascal    float64       `json:"pressure_pa,omitzero"` // of the day; 0: from the elevation
	RoomC     float64       `json:"room_c,omitzero"`      // 0: 20 °C
	TapC      float64       `json:"tap_c,omitzero"`       // of the water put in; 0: 15 °C
	Prior     balance.Prior `json:"prior,omitzero"`       // what the bath's earlier batches taught
}

// Vessels are sizes that only a plan needs.
type Vessels struct {
	DishDepth float64 `json:"dish_depth_mm,omitzero"` // inside
	DishKg    float64 `json:"dish_kg,omitzero"`       // empty
	PanDepth  float64 `json:"pan_depth_mm,omitzero"`  // inside
	// HobW is the heat that gets into the water at full, W: see Full.
	HobW float64 `json:"hob_w,omitzero"`
}

// Given is what the maker weighed, measured or means to do.
type Given struct {
	Sample     larder.Sample `json:"sample,omitzero"`       // replaces the table of the herb's water
	HerbBulkML float64       `json:"herb_bulk_ml,omitzero"` // the chopped herb, pressed into a jug
	OilKg      float64       `json:"oil_kg,omitzero"`       // weighed; replaces the recipe's volume
	OilAtC     float64       `json:"oil_at_c,omitzero"`     // at which its volume was measured; 0: 20 °C
	FillKg     float64       `json:"fill_kg,omitzero"`      // water that was, or will be, put in
	CoverMM    float64       `json:"cover_mm,omitzero"`     // water over the base; 0: DefaultCoverMM
	Press      strength.How  `json:"press,omitzero"`        // how the herb will be strained
}

const (
	// DefaultCoverMM is how far the water stands above the base at first. The
	// trade says "just covers" (common practice, no source); two centimetres
	// last about half an hour in an ordinary pan.
	DefaultCoverMM = 20.0
	usualRoomC     = 20.0
	usualTapC      = 15.0
	referenceC     = 20.0
)

// or returns x, or the usual where nobody said.
func or(x, usual float64) float64 {
	if x == 0 {
		return usual
	}
	return x
}

// place is the site as the formulas want it.
type place struct {
	pascal, boils, room, tap float64
}

func (s Site) place() place {
	p := place{pascal: s.Pascal, room: or(s.RoomC, usualRoomC), tap: or(s.TapC, usualTapC)}
	if p.pascal == 0 {
		p.pascal = steam.StandardPressure(s.Elevation)
	}
	p.boils = steam.BoilingPoint(p.pascal)
	return p
}

func disc(mm float64) float64 { return float64(math.Pi / 4 * mm * mm / 1e6) }

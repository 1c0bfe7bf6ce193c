package dashboards

import (
	"math"

	"bainward/rules"
)

// panShape is the cross-section of a rig in the pixels of the drawing. Across,
// it is to scale; the height of the dish above the pan floor is too, unless it
// would be too small or too large to see.
type panShape struct {
	perMM          float64 // pixels a millimetre
	left, right    float64 // inside of the pan
	floor, rim     float64
	dishL, dishR   float64
	dishBase       float64
	dishTop        float64
	annulusOverPan float64 // open area beside the dish, as part of the pan's
}

// Sizes of the drawing of the pan, pixels.
const (
	panWidth, panHeight = 360, 234
	panText             = 13.0
	panLeft             = 66.0
	panInside           = 210.0
	panFloor            = 184.0
	dishDeep            = 84.0
	rimAboveBase        = 66.0
	leastBase, mostBase = 16.0, 40.0
)

// Stand-ins where the site file gives no believable sizes; the level is then
// not drawn either (see waterHeight).
const (
	someDish = 0.82 // of the pan's diameter
	someBase = 26.0 // pixels
)

func shapeOf(r rules.Rig) panShape {
	s := panShape{left: panLeft, floor: panFloor}
	s.right = s.left + panInside
	dish, base := panInside*someDish, someBase
	if believable(r) {
		s.perMM = panInside / r.PanInsideDiameter
		dish = float64(r.DishOutsideDiameter * s.perMM)
		base = min(max(float64(r.DishBaseHeight*s.perMM), leastBase), mostBase)
		part := r.DishOutsideDiameter / r.PanInsideDiameter
		s.annulusOverPan = 1 - float64(part*part)
	}
	s.dishL, s.dishR = s.left+(panInside-dish)/2, s.left+(panInside+dish)/2
	s.dishBase = s.floor - base
	s.dishTop = s.dishBase - dishDeep
	s.rim = s.dishBase - rimAboveBase
	return s
}

func believable(r rules.Rig) bool {
	return r.PanInsideDiameter > 0 && r.DishBaseHeight > 0 &&
		r.DishOutsideDiameter > 0 && r.DishOutsideDiameter < r.PanInsideDiameter
}

// level returns the height (y) at which kg of water stand in the pan, given
// bareKg, the water that reaches just to the dish base. Below the base the
// whole pan fills, above it only the ring beside the dish, which rises faster.
// It is NaN if that cannot be told, and never above the rim.
func (s panShape) level(kg, bareKg float64) float64 {
	if math.IsNaN(kg) || math.IsNaN(bareKg) || bareKg <= 0 || s.annulusOverPan <= 0 {
		return math.NaN()
	}
	share := max(kg, 0) / bareKg
	base := s.floor - s.dishBase
	if share <= 1 {
		return s.floor - float64(base*share)
	}
	return max(s.rim+3, s.dishBase-float64(base*(share-1))/s.annulusOverPan)
}

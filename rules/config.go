package rules

import (
	"time"

	"bainward/rules/balance"
	"bainward/sensors"
)

// Config is everything that the rules of one bath go by. It is plain data: it
// is written into the record with every change, so that an auditor can fold
// the readings again under the same rules.
type Config struct {
	Bath      string                        `json:"bath"`
	Units     Units                         `json:"units"`
	Rig       Rig                           `json:"rig"`
	Recipe    Recipe                        `json:"recipe"`
	Probes    [sensors.RoleCount]Correction `json:"probes"` // by sensors.Role
	Elevation float64                       `json:"elevation_m"`
	Limits    Limits                        `json:"limits"`
	Prior     balance.Prior                 `json:"prior,omitzero"` // what earlier batches taught
}

// Rig holds the fixed sizes of a bath, in millimetres.
type Rig struct {
	PanInsideDiameter   float64 `json:"pan_inside_diameter_mm"`
	DishOutsideDiameter float64 `json:"dish_outside_diameter_mm"`
	DishBaseHeight      float64 `json:"dish_base_height_mm"` // above the pan floor
	// WetsBaseG is the cold water in grams that just wets the base of the dish,
	// weighed once; 0: it is reckoned from the sizes.
	WetsBaseG float64 `json:"wets_base_g,omitzero"`
}

// Recipe is what one maceration asks for. Zero values take the defaults that
// Complete fills in.
type Recipe struct {
	Name              string        `json:"name"`
	Herb              string        `json:"herb"`
	Fresh             bool          `json:"fresh"`
	HerbG             float64       `json:"herb_g"`
	Oil               string        `json:"oil"`
	OilML             float64       `json:"oil_ml"`
	Hold              time.Duration `json:"hold_ns"`
	Macerations       int           `json:"macerations"`
	FloorC            float64       `json:"floor_c"`               // 0: FloorBelowBoiling counts
	FloorBelowBoiling float64       `json:"floor_below_boiling_c"` // K below the boiling point of the moment
	CeilingC          float64       `json:"oil_ceiling_c"`         // 0: the boiling point plus the probe's uncertainty
}

// Defaults of a recipe.
const (
	// DefaultHold: one hot maceration takes about two hours (common practice,
	// no source).
	DefaultHold = 2 * time.Hour
	// DefaultFloorBelowBoiling: oil in a simmering bath settles some 5 to 12 K
	// below the boiling point, more while the herb gives up water; 15 K below
	// says that the bath is doing its work (common practice, no source).
	DefaultFloorBelowBoiling = 15.0
)

// Complete returns r with its defaults filled in.
func (r Recipe) Complete() Recipe {
	if r.Name == "" {
		r.Name = "plain"
	}
	if r.Hold == 0 {
		r.Hold = DefaultHold
	}
	if r.Macerations == 0 {
		r.Macerations = 1
	}
	if r.FloorBelowBoiling == 0 {
		r.FloorBelowBoiling = DefaultFloorBelowBoiling
	}
	return r
}

// Correction turns a probe's raw reading into a temperature and says how well
// it is known. The zero Correction is an uncalibrated probe.
type Correction struct {
	Fitted bool    `json:"fitted"`
	Gain   float64 `json:"gain"`     // 0 stands for 1
	Offset float64 `json:"offset_c"` // added after the gain
	// Expanded uncertainty (k = 2) after the correction; 0: not calibrated, the
	// data sheet's band counts.
	Uncertainty float64 `json:"uncertainty_c"`
	On          string  `json:"calibrated_on"` // date, for people
	Address     string  `json:"address"`       // for people
	// From what the correction was reckoned, °C, and until when it is to be done
	// again: for people. Zero and empty where nobody noted it.
	IceReads  float64 `json:"ice_reads_c,omitzero"`
	BoilReads float64 `json:"boil_reads_c,omitzero"`
	BoilTrue  float64 `json:"boil_true_c,omitzero"`
	Due       string  `json:"calibration_due,omitzero"`
	// Away: the probe is out of the bath, in ice or in somebody else's water, to be
	// calibrated. Until it is back the rules take it for one that is not fitted.
	Away bool `json:"away,omitzero"`
}

// Celsius applies the correction to a raw temperature.
func (c Correction) Celsius(raw float64) float64 {
	gain := c.Gain
	if gain == 0 {
		gain = 1
	}
	return float64(raw*gain) + c.Offset
}

// Half-widths of an uncalibrated DS18B20's error (data sheet 19-7487: ±0.5 °C
// from −10 to +85 °C; ±1 °C from −30 to +100 °C; ±2 °C from −55 to +125 °C; the
// middle row from memory).
const (
	halfWidthCool = 0.5
	halfWidthHot  = 1.0
	halfWidthFar  = 2.0
)

// Error returns how far off a reading of celsius may be. For an uncalibrated
// probe it is the data sheet's band, for a calibrated one the expanded
// uncertainty of the calibration.
func (c Correction) Error(celsius float64) float64 {
	switch {
	case c.Uncertainty > 0:
		return c.Uncertainty
	case celsius <= 85:
		return halfWidthCool
	case celsius <= 102: // the plateau with its bubbles and depth still counts as 100
		return halfWidthHot
	}
	return halfWidthFar
}

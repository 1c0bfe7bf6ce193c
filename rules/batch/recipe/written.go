package recipe

// Field is a key of a recipe as the site file spells it.
type Field string

// The fields.
const (
	Name              Field = "name"
	Herb              Field = "herb"
	Fresh             Field = "fresh"
	HerbG             Field = "herb_g"
	Oil               Field = "oil"
	OilML             Field = "oil_ml"
	OilG              Field = "oil_g"
	OilMeasuredAt     Field = "oil_measured_at_c"
	HerbBulkML        Field = "herb_bulk_ml"
	SampleFreshG      Field = "sample_fresh_g"
	SampleDriedG      Field = "sample_dried_g"
	SampleOven        Field = "sample_oven_dried"
	Press             Field = "press"
	HoldMin           Field = "hold_min"
	Macerations       Field = "macerations"
	FloorBelowBoiling Field = "floor_below_boiling_c"
	FloorC            Field = "floor_c"
	CeilingC          Field = "oil_ceiling_c"
)

// Written is a recipe as it was written. nil: the key was left out, which is another
// thing than 0.
type Written struct {
	Name              string   `json:"name"`
	Herb              string   `json:"herb,omitempty"`
	Fresh             bool     `json:"fresh,omitempty"`
	HerbG             *float64 `json:"herb_g,omitempty"`
	Oil               string   `json:"oil,omitempty"`
	OilML             *float64 `json:"oil_ml,omitempty"`
	OilG              *float64 `json:"oil_g,omitempty"`
	OilMeasuredAt     *float64 `json:"oil_measured_at_c,omitempty"`
	HerbBulkML        *float64 `json:"herb_bulk_ml,omitempty"`
	SampleFreshG      *float64 `json:"sample_fresh_g,omitempty"`
	SampleDriedG      *float64 `json:"sample_dried_g,omitempty"`
	SampleOven        *bool    `json:"sample_oven_dried,omitempty"`
	Press             *string  `json:"press,omitempty"`
	HoldMin           *int64   `json:"hold_min,omitempty"`
	Macerations       *int64   `json:"macerations,omitempty"`
	FloorBelowBoiling *float64 `json:"floor_below_boiling_c,omitempty"`
	FloorC            *float64 `json:"floor_c,omitempty"`
	CeilingC          *float64 `json:"oil_ceiling_c,omitempty"`
}

// number returns where a number with a unit is kept; nil for the other fields.
func (w *Written) number(f Field) **float64 {
	switch f {
	case HerbG:
		return &w.HerbG
	case OilML:
		return &w.OilML
	case OilG:
		return &w.OilG
	case OilMeasuredAt:
		return &w.OilMeasuredAt
	case HerbBulkML:
		return &w.HerbBulkML
	case SampleFreshG:
		return &w.SampleFreshG
	case SampleDriedG:
		return &w.SampleDriedG
	case FloorBelowBoiling:
		return &w.FloorBelowBoiling
	case FloorC:
		return &w.FloorC
	case CeilingC:
		return &w.CeilingC
	}
	return nil
}

// whole returns where a whole number is kept; nil for the other fields.
func (w *Written) whole(f Field) **int64 {
	switch f {
	case HoldMin:
		return &w.HoldMin
	case Macerations:
		return &w.Macerations
	}
	return nil
}

// or returns what p leads to, or 0 if it was not written.
func or[T any](p *T) (v T) {
	if p != nil {
		v = *p
	}
	return v
}

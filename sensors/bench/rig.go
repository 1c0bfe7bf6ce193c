package bench

import (
	"fmt"
	"math"
	"time"
)

// Geometry is the three sizes that a site file states, in millimetres.
type Geometry struct {
	PanInsideDiameter   float64
	DishOutsideDiameter float64
	DishBaseHeight      float64 // above the pan floor
}

// Rig is everything about a bath that is fixed before the hob is lit. Start
// from DefaultRig or Vary and change what the test is about.
type Rig struct {
	Seed   uint64        // of the probes' noise
	Step   time.Duration // of the physics; 0 stands for 250 ms
	True   Geometry      // what the bath does
	Stated Geometry      // what the maker wrote down
	Pan    PanSpec
	Hob    HobSpec
	Dish   DishSpec
	Herb   HerbSpec
	Air    AirSpec

	OilProbe, BathProbe, RoomProbe ProbeSpec
	Barometer                      BarometerSpec
}

// PanSpec is the pan and the water a maker puts in.
type PanSpec struct {
	Height    float64 // inside, mm; more water spills
	FloorHeat float64 // what the floor holds, J/K
	WallHeat  float64 // what the wall holds, J/K
	WallLoss  float64 // from the hot wall to a still room, W/K
	FillKg    float64 // water for the first fill
	TapC      float64 // temperature of the water poured
	PourRate  float64 // kg/s
	// MixTime is how long a cold pour takes to mix, in s; DipGain how much
	// deeper than the mean the probe sees it (0: not at all, 2: beside the jet).
	MixTime, DipGain float64
	// BoilOnset is how far below the boiling point bubbles begin to reach the
	// surface, in K.
	BoilOnset float64
	// SteamFlux is the boiling in W/m² that drives most of the air out of the
	// pan; less lets the room in.
	SteamFlux float64
}

// HobSpec is the source of heat. Power is what it draws, whatever the fuel.
type HobSpec struct {
	Power      float64 // full, W
	Simmer     float64 // after the turn-down, W on average
	Efficiency float64 // share that gets into a pan of water
	Lag        float64 // s, first order: 2 induction, 10 gas, 60 to 200 cast plate
	Period     float64 // s of a thermostat's cycle between full and nothing; 0: steady
	LimitC     float64 // pan floor temperature at which no more heat gets across
}

// DishSpec is the glass dish and its oil.
type DishSpec struct {
	GlassKg   float64
	Thickness float64 // of the glass, mm
	OilKg     float64
	// OilSide is the transfer between glass and hot oil, W/(m² K). Globe and
	// Dropkin's law for a layer heated from below gives 50 to 60 for 5 cm of
	// oil at 85 °C; bubbles from a wet herb stir it to twice that and more.
	OilSide float64
	// OilLoss is the transfer from the open oil to the room, W/(m² K).
	OilLoss float64
	// SteamGap is the transfer through steam to a bare base, W/(m² K). Air that
	// cannot get out from under the base keeps it far below that of pure steam.
	SteamGap float64
}

// HerbSpec is the herb of one maceration.
type HerbSpec struct {
	Kg    float64
	Water float64 // share of it that is water
	// Rate is the share of its water that leaves each second where the vapour
	// pressure equals the air pressure, 1/s; drying slows as the herb dries.
	Rate  float64
	Sinks bool    // lies on the base and muffles it; else it floats
	Keeps float64 // kg of oil that a kg of dry herb keeps when it is strained
}

// AirSpec is the room and the weather.
type AirSpec struct {
	RoomC         float64
	RoomDrift     float64 // K/h
	Humidity      float64 // relative, 0 to 1
	Pressure      float64 // Pa
	PressureDrift float64 // Pa/h
}

// BarometerSpec is the pressure sensor.
type BarometerSpec struct {
	Fitted bool
	Error  float64 // Pa; a BMP280 is good to about ±100 Pa
}

// DefaultRig returns a bath of ordinary size with 220 g of wilted herb in
// 800 ml of oil, on a 1500 W plate that simmers with some 450 W.
func DefaultRig() Rig {
	g := Geometry{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30}
	return Rig{
		Seed: 1, True: g, Stated: g,
		Pan: PanSpec{
			Height: 120, FloorHeat: 330, WallHeat: 250, WallLoss: 0.6, FillKg: 1.85, TapC: 15,
			PourRate: 0.06, MixTime: 6, DipGain: 0.8, BoilOnset: 2, SteamFlux: 1500,
		},
		Hob:       HobSpec{Power: 1500, Simmer: 750, Efficiency: 0.6, Lag: 45, Period: 40, LimitC: 600},
		Dish:      DishSpec{GlassKg: 1.2, Thickness: 4, OilKg: 0.73, OilSide: 230, OilLoss: 8, SteamGap: 40},
		Herb:      HerbSpec{Kg: 0.22, Water: 0.7, Rate: 2.8e-4, Keeps: 1},
		Air:       AirSpec{RoomC: 19, RoomDrift: 0.5, Humidity: 0.5, Pressure: 101325, PressureDrift: -20},
		OilProbe:  ProbeSpec{Place: InOil, Lag: 28, AirLag: 60, ErrorAt0: 0.1, ErrorAt100: 0.25, Noise: 1},
		BathProbe: ProbeSpec{Place: Lying, Lag: 10, AirLag: 60, Touch: 0.05, ErrorAt0: -0.1, ErrorAt100: -0.3, Noise: 1},
		RoomProbe: ProbeSpec{Place: InRoom, Lag: 10, AirLag: 60, ErrorAt0: 0.05, ErrorAt100: 0.05, Noise: 1},
		Barometer: BarometerSpec{Fitted: true, Error: 40},
	}
}

// BareKg returns the mass of boiling water at which the dish base is just
// touched, for the geometry given and water at c °C.
func (g Geometry) BareKg(c float64) float64 {
	return disc(g.PanInsideDiameter) * g.DishBaseHeight / 1000 * liquidDensity(c)
}

// Check returns an error that names the first size no bath can have.
func (r Rig) Check() error {
	if err := r.True.check(); err != nil {
		return fmt.Errorf("rig, true sizes: %w", err)
	}
	if err := r.Stated.check(); err != nil {
		return fmt.Errorf("rig, stated sizes: %w", err)
	}
	for _, c := range []struct {
		name        string
		is, lo, top float64
	}{
		{"pan height", r.Pan.Height, r.True.DishBaseHeight, 500},
		{"pan floor heat", r.Pan.FloorHeat, 50, 5000},
		{"pan wall heat", r.Pan.WallHeat, 50, 5000},
		{"pour rate", r.Pan.PourRate, 0.001, 1},
		{"mixing time", r.Pan.MixTime, 0.5, 120},
		{"boil onset", r.Pan.BoilOnset, 0.2, 10},
		{"steam flux", r.Pan.SteamFlux, 100, 20000},
		{"hob efficiency", r.Hob.Efficiency, 0.05, 1},
		{"hob power", r.Hob.Power, 1, 10000},
		{"hob simmer", r.Hob.Simmer, 0, r.Hob.Power},
		{"hob limit", r.Hob.LimitC, 150, 1200},
		{"glass", r.Dish.GlassKg, 0.05, 10},
		{"glass thickness", r.Dish.Thickness, 0.5, 20},
		{"oil", r.Dish.OilKg, 0, 20},
		{"herb water", r.Herb.Water, 0, 0.98},
		{"air pressure", r.Air.Pressure, 40000, 110000},
		{"humidity", r.Air.Humidity, 0, 1},
		{"oil probe lag", r.OilProbe.Lag, 0.5, 300},
		{"bath probe lag", r.BathProbe.Lag, 0.5, 300},
		{"room probe lag", r.RoomProbe.AirLag, 0.5, 600},
	} {
		if math.IsNaN(c.is) || c.is < c.lo || c.is > c.top {
			return fmt.Errorf("rig, %s: %g is outside %g to %g", c.name, c.is, c.lo, c.top)
		}
	}
	return nil
}

// ring is the least gap between dish and pan wall in mm: steam has to pass.
const ring = 3

func (g Geometry) check() error {
	switch {
	case g.PanInsideDiameter < 50 || g.PanInsideDiameter > 1000:
		return fmt.Errorf("pan inside diameter %g mm is outside 50 to 1000", g.PanInsideDiameter)
	case g.DishOutsideDiameter < 30 || g.DishOutsideDiameter > g.PanInsideDiameter-2*ring:
		return fmt.Errorf("dish outside diameter %g mm does not fit a pan of %g mm", g.DishOutsideDiameter, g.PanInsideDiameter)
	case g.DishBaseHeight < 0 || g.DishBaseHeight > 300:
		return fmt.Errorf("dish base height %g mm is outside 0 to 300", g.DishBaseHeight)
	}
	return nil
}

// disc returns the area in m² of a circle whose diameter is given in mm.
func disc(mm float64) float64 { return math.Pi / 4 * mm * mm * 1e-6 }

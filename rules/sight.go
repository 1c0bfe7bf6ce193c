package rules

import (
	"time"

	"bainward/rules/steam"
	"bainward/sensors"
)

// sight is what one frame looks like to the rules: worked out once, read by all.
type sight struct {
	now      time.Duration
	since    time.Duration // since the frame before
	oil      *probe
	bath     *probe
	room     *probe
	pascal   float64
	measured bool    // by a barometer
	boiling  float64 // °C, of water at this pressure
	boilingU float64 // how far off boiling may be, K
	floor    float64 // °C
	ceiling  float64 // °C
}

const (
	// weatherPascal: day-to-day air pressure stays within ±3 kPa of the standard
	// atmosphere at an elevation (ISO 2533 gives the middle, not the weather);
	// that is ±0.83 K in the boiling point.
	weatherPascal = 3000
	// barometerPascal: absolute accuracy of a BMP280, ±1 hPa (data sheet, from
	// memory), doubled for mounting and age.
	barometerPascal = 200
	// pressureKept: air pressure changes by well under 1 hPa in ten minutes
	// outside storms, so a barometer that falls silent is believed that long.
	pressureKept = 10 * time.Minute
)

// atmosphere is the last measured air pressure and the boiling point it gives.
// Both are kept, for the boiling point costs more than everything else here.
type atmosphere struct {
	pascal  int32 // as used; 0 before the first frame
	at      time.Duration
	seen    bool
	used    bool // measured, not from the elevation
	boiling float64
	spread  float64
}

func (a *atmosphere) take(cfg *Config, p sensors.Pressure, at time.Duration) {
	if p.OK() {
		a.at, a.seen = at, true
		a.use(p.Pascal, true)
		return
	}
	if a.seen && at-a.at <= pressureKept {
		return
	}
	a.seen = false
	if a.pascal == 0 || a.used {
		a.use(int32(steam.StandardPressure(cfg.Elevation)+0.5), false)
	}
}

func (a *atmosphere) use(pascal int32, measured bool) {
	if a.pascal == pascal && a.used == measured {
		return
	}
	a.pascal, a.used = pascal, measured
	width := float64(weatherPascal)
	if measured {
		width = barometerPascal
	}
	a.boiling = steam.BoilingPoint(float64(pascal))
	a.spread = (steam.BoilingPoint(float64(pascal)+width) - steam.BoilingPoint(float64(pascal)-width)) / 2
}

// look gathers what the rules see at a frame.
func (s *State) look(cfg *Config, since time.Duration) sight {
	v := sight{
		now:      s.now,
		since:    since,
		oil:      &s.probes[sensors.Oil],
		bath:     &s.probes[sensors.Bath],
		room:     &s.probes[sensors.Room],
		pascal:   float64(s.air.pascal),
		measured: s.air.used,
		boiling:  s.air.boiling,
		boilingU: s.air.spread,
	}
	v.floor, v.ceiling = s.bounds(cfg)
	return v
}

// bounds returns the floor and the ceiling of the oil at this instant, °C.
func (s *State) bounds(cfg *Config) (floor, ceiling float64) {
	floor = cfg.Recipe.FloorC
	if floor == 0 {
		floor = s.air.boiling - cfg.Recipe.FloorBelowBoiling
	}
	ceiling = cfg.Recipe.CeilingC
	if ceiling == 0 {
		ceiling = s.air.boiling + s.air.spread + cfg.Probes[sensors.Oil].Error(s.air.boiling)
	}
	return floor, ceiling
}

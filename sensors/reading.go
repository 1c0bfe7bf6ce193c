package sensors

import (
	"math"

	"periph.io/x/conn/v3/physic"
)

// Fault says why a probe gave no usable temperature. The zero value is no
// fault. People and rules act differently on each, so they are never merged.
type Fault uint8

// The faults of a probe. The first group is seen on the wire; Stuck and
// Jumped are found by the rules from the readings before.
const (
	NoFault          Fault = iota
	NotFitted              // no such probe is named for this bath
	Absent                 // asked, and nothing answered
	BadCRC                 // the bytes were damaged on the wire
	AllZero                // the wire is held low: shorted, or no supply
	AllOnes                // the wire floats: broken, or no chip
	PowerOn                // 85 °C that no conversion produced: the chip lost its supply
	ConversionFailed       // 07FFh: too little supply current to convert
	OutOfRange             // outside −55…+125 °C, or an impossible configuration byte
	Stale                  // the last answer is too old to be believed
	Stuck                  // does not move although it must
	Jumped                 // moved faster than a probe in a bath can
	faultCount
)

var faultWords = [faultCount]string{
	"ok",
	"not fitted",
	"no answer",
	"damaged on the wire (CRC)",
	"wire held low",
	"wire floating",
	"restarted without converting (85 °C)",
	"conversion failed (too little supply)",
	"out of range",
	"too old",
	"stuck",
	"jumped",
}

var faultCodes = [faultCount]string{
	"", "not-fitted", "absent", "crc", "all-zero", "all-ones", "power-on",
	"conversion-failed", "out-of-range", "stale", "stuck", "jumped",
}

// String returns the fault in words for people.
func (f Fault) String() string {
	if f < faultCount {
		return faultWords[f]
	}
	return "unknown fault"
}

// Code returns a short fixed word for programs; it is empty for NoFault.
func (f Fault) Code() string {
	if f < faultCount {
		return faultCodes[f]
	}
	return "unknown"
}

// Reading is one probe's answer: a temperature as the chip gave it, without
// any calibration, or the fault that stands in its place.
// The zero Reading is 0 K without a fault and is never produced by a driver.
type Reading struct {
	Temperature physic.Temperature
	Fault       Fault
}

// OK reports whether the reading carries a temperature.
func (r Reading) OK() bool { return r.Fault == NoFault }

// Celsius returns the temperature in °C, or NaN if there is none.
func (r Reading) Celsius() float64 {
	if !r.OK() {
		return math.NaN()
	}
	return r.Temperature.Celsius()
}

// Grid is the finest step a stored reading keeps: 0.1 mK, in which every
// DS18B20 step (1/16 °C = 625 steps) is exact.
const Grid = 100 * physic.MicroKelvin

// At returns a good reading of t, rounded to Grid.
func At(t physic.Temperature) Reading {
	half := Grid / 2
	if t < 0 {
		half = -half
	}
	return Reading{Temperature: (t + half) / Grid * Grid}
}

// AtCelsius returns a good reading of c °C, rounded to Grid.
func AtCelsius(c float64) Reading {
	steps := math.Round(c * float64(physic.Celsius/Grid))
	return Reading{Temperature: physic.ZeroCelsius + physic.Temperature(steps)*Grid}
}

// Failed returns a reading that carries only a fault.
func Failed(f Fault) Reading { return Reading{Fault: f} }

// Pressure is the air pressure at one instant, in whole pascal, or a fault.
// NotFitted means that there is no barometer and the site's elevation stands in.
type Pressure struct {
	Pascal int32
	Fault  Fault
}

// OK reports whether p was measured.
func (p Pressure) OK() bool { return p.Fault == NoFault && p.Pascal > 0 }

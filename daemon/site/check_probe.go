package site

import (
	"math"

	"bainward/rules"
	"bainward/rules/calibrate"
	"bainward/rules/steam"
	"bainward/sensors"
)

// Calibration is what was found when a probe was put into melting ice and then
// into boiling water, and the correction that follows from it.
type Calibration struct {
	Address sensors.Address
	rules.Correction
}

// Ranges of a calibration. Ice and water are at 0.00 °C, and a kitchen's ice
// bath within 0.1 °C of it (ASTM E563 describes the bath; the 0.1 from memory);
// the chip is never further off than maxOff unless it is broken or the bath was
// not what it should be (data sheet 19-7487: ±2 °C over the whole range; some
// copies are 3 °C off, C. Petrich, github.com/cpetrich/counterfeit_DS18B20).
const (
	iceC                           = 0.0
	maxOff                         = 4
	minBoil, maxBoil               = 75, 103
	minPressure, maxPressure       = 450, 1100 // hPa
	minUncertainty, maxUncertainty = 0.01, 3
	pascalPerHPa                   = 100
)

func (c *checker) calibrations(tables []probeTable) []Calibration {
	seen := map[sensors.Address]int{}
	all := make([]Calibration, 0, len(tables))
	for i, t := range tables {
		path := element("probe", i)
		address, ok := c.calibrated(path, t)
		if line := seen[address]; ok && line > 0 {
			c.addf(path, "was calibrated on line %d already: keep the newer one", line)
		}
		seen[address] = c.outline.line(path)
		all = append(all, Calibration{Address: address, Correction: c.calibration(path, t, address)})
	}
	return all
}

func (c *checker) calibrated(path string, t probeTable) (sensors.Address, bool) {
	if !c.given(path + ".address") {
		c.addf(path, "address is missing: which probe was calibrated")
		return 0, false
	}
	return c.address(path, "address", t.Address)
}

func (c *checker) calibration(path string, t probeTable, address sensors.Address) rules.Correction {
	on := c.date(path, t)
	c.number(path, "ice_reads_c", t.IceReads, iceC-maxOff, iceC+maxOff, "what the probe read in melting ice and water")
	c.number(path, "boil_reads_c", t.BoilReads, minBoil-maxOff, maxBoil+maxOff, "what the probe read in boiling water")
	c.within(path, "uncertainty_c", t.Uncertainty, minUncertainty, maxUncertainty)
	boil := c.boilTrue(path, t)
	if math.Abs(t.BoilReads-boil) > maxOff && c.given(path+".boil_reads_c") {
		c.addf(path+".boil_reads_c", "boil_reads_c = %s is more than %d °C from where water boiled, %.2f: the probe or the note is wrong",
			plain(t.BoilReads), maxOff, boil)
	}
	gain, offset := calibrate.Through(t.IceReads, iceC, t.BoilReads, boil)
	return rules.Correction{
		Fitted:      true,
		Gain:        gain,
		Offset:      offset,
		Uncertainty: t.Uncertainty,
		On:          on,
		Address:     address.String(),
	}
}

// boilTrue returns where water boiled on the day of the calibration, in °C.
func (c *checker) boilTrue(path string, t probeTable) float64 {
	switch direct, pressure := c.given(path+".boil_true_c"), c.given(path+".boil_pressure_hpa"); {
	case direct && pressure:
		c.addf(path+".boil_pressure_hpa", "boil_pressure_hpa and boil_true_c exclude each other: give the boiling point one way")
	case pressure:
		if hpa := c.within(path, "boil_pressure_hpa", t.BoilPressure, minPressure, maxPressure); hpa >= minPressure && hpa <= maxPressure {
			return steam.BoilingPoint(hpa * pascalPerHPa)
		}
	case direct:
		return c.within(path, "boil_true_c", t.BoilTrue, minBoil, maxBoil)
	default:
		c.addf(path, "boil_true_c or boil_pressure_hpa is missing: where water boiled that day, or the air pressure from which it follows")
	}
	return t.BoilReads // so that the checks that follow do not complain as well
}

// firstYear is before any DS18B20 that still works was calibrated.
const firstYear = 2000

func (c *checker) date(path string, t probeTable) string {
	key := path + ".calibrated_on"
	if !c.given(key) {
		c.addf(path, "calibrated_on is missing: the date of the calibration, such as 2026-02-14")
		return ""
	}
	if t.CalibratedOn.Year < firstYear {
		c.addf(key, "calibrated_on = %s must be a date since %d", t.CalibratedOn, firstYear)
	}
	return t.CalibratedOn.String()
}

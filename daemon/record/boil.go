package record

import (
	"fmt"
	"math"

	"bainward/rules"
	"bainward/sensors"
)

// KindBoil is the kind of a Boil. The rules do not take it in: it follows from them.
const KindBoil Kind = "boil"

// Boil is how a bath probe stood while its water boiled hardest in one maceration.
// Every batch brings its bath to a fixed point of thermometry, and so a probe that
// drifts is seen from boil to boil, without ice. Its entry is of the bath and stands
// where the heat ended.
type Boil struct {
	Probe    string  `json:"probe"`     // its address
	Off      float64 `json:"off_c"`     // corrected reading less the boiling point of the moment
	Boiling  float64 `json:"boiling_c"` // that boiling point
	Measured bool    `json:"measured"`  // by a barometer; else from the elevation
}

// BoilOf returns the body that holds b of the probe.
func BoilOf(probe sensors.Address, b rules.Boil) Boil {
	return Boil{Probe: probe.String(), Off: thousandth(b.OffK), Boiling: thousandth(b.BoilingC), Measured: b.Measured}
}

// thousandth keeps of a temperature what means something.
func thousandth(c float64) float64 { return math.Round(c*1000) / 1000 }

// Kind returns KindBoil.
func (Boil) Kind() Kind { return KindBoil }

// Address returns the probe.
func (b Boil) Address() (sensors.Address, error) { return sensors.ParseAddress(b.Probe) }

func (b Boil) check() error {
	address, err := b.Address()
	switch {
	case err != nil:
		return fmt.Errorf("the boil's probe: %w", err)
	case address.String() != b.Probe:
		return fmt.Errorf("the boil's probe %q would be read back as %q", b.Probe, address)
	case !(math.Abs(b.Off) < 100) || !(b.Boiling > 0 && b.Boiling < 200):
		return fmt.Errorf("a boil %v K off %v °C is none", b.Off, b.Boiling)
	}
	return nil
}

package record

import (
	"fmt"
	"slices"
)

// KindCalibrating is the kind of a Calibrating. The rules do not take it in.
const KindCalibrating Kind = "calibrating"

// Calibrating is a step of a calibration: who took it. Its entry is of the site. One
// that began and never ended was cut off by a restart; the next start says so.
type Calibrating struct {
	Probe string  `json:"probe"`             // its address
	Step  string  `json:"step"`              // started, boil, kept, cancelled or ended (by itself)
	By    string  `json:"by,omitempty"`      // of ended: nobody
	Why   string  `json:"why,omitempty"`     // of ended
	Depth float64 `json:"depth_m,omitempty"` // of boil: below the surface
}

// Kind returns KindCalibrating.
func (Calibrating) Kind() Kind { return KindCalibrating }

// Over reports whether the calibration ended with this step.
func (b Calibrating) Over() bool { return b.Step != "started" && b.Step != "boil" }

func (b Calibrating) check() error {
	switch {
	case b.Probe == "":
		return fmt.Errorf("a calibration %s of no probe", b.Step)
	case b.Step == "ended":
		if b.Why == "" {
			return fmt.Errorf("the calibration of probe %s ended and does not say why", b.Probe)
		}
	case !slices.Contains([]string{"started", "boil", "kept", "cancelled"}, b.Step):
		return fmt.Errorf("no step of a calibration is called %q", b.Step)
	case b.By == "":
		return fmt.Errorf("the calibration of probe %s: %s, and it does not say by whom", b.Probe, b.Step)
	}
	return nil
}

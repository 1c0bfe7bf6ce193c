package record

import (
	"errors"
	"fmt"
	"time"

	"bainward/sensors"
)

// KindCalibration is the kind of a Calibration. The rules do not take it in: what they
// go by stands in a Config that follows.
const KindCalibration Kind = "calibration"

// Calibration is what a probe read in melting ice and in boiling water, and the
// correction that somebody decided to keep. Its entry is of the site: a probe may
// serve two baths.
//
// Every reading in the record is raw, those in the ice and in the boiling water too.
// Which correction a reading was judged by says the newest config entry of its bath
// before it: its probes[role] has gain, offset, uncertainty and the date on, and with
// address and date leads to the newest calibration of that probe before the config;
// one without is of the site file. While probes[role].away stands in it the probe was
// out of the bath to be calibrated: the readings of that stretch are those from which
// the two means were taken, each the n newest up to its time at.
type Calibration struct {
	Probe  string  `json:"probe"` // its address
	Ice    Taken   `json:"ice"`
	Boil   Taken   `json:"boil"`
	Gain   float64 `json:"gain"`
	Offset float64 `json:"offset_c"` // added after the gain
	U      float64 `json:"u_c"`      // expanded uncertainty, k = 2
	On     string  `json:"on"`       // date of it
	Due    string  `json:"due"`      // date by which it should be done again
	By     string  `json:"by"`
}

// Taken is the mean of steady readings at one point.
type Taken struct {
	Reads  float64 `json:"reads_c"`
	True   float64 `json:"true_c"`
	U      float64 `json:"u_c"` // standard uncertainty of the point: readings and truth
	N      int     `json:"n"`
	Spread float64 `json:"spread_c"` // standard deviation of the readings
	At     string  `json:"at"`       // time of the last of them, RFC 3339
	// Of a boiling point: what it follows from.
	Pressure int32   `json:"pressure_pa,omitempty"`
	Depth    float64 `json:"depth_m,omitempty"` // of the probe below the surface
}

// Kind returns KindCalibration.
func (Calibration) Kind() Kind { return KindCalibration }

// Address returns the probe.
func (b Calibration) Address() (sensors.Address, error) { return sensors.ParseAddress(b.Probe) }

// CalibrationEvery is how long a calibration is taken to hold (common practice, no
// source).
const CalibrationEvery = 1 // year

// Dates returns the dates of a calibration that was done at wall.
func Dates(wall time.Time) (on, due string) {
	return wall.Format(time.DateOnly), wall.AddDate(CalibrationEvery, 0, 0).Format(time.DateOnly)
}

func (b Calibration) check() error {
	address, err := b.Address()
	switch {
	case err != nil:
		return fmt.Errorf("the calibration's probe: %w", err)
	case address.String() != b.Probe:
		return fmt.Errorf("the calibration's probe %q would be read back as %q", b.Probe, address)
	case !(b.Gain > 0):
		return fmt.Errorf("the calibration has a gain of %v", b.Gain)
	case !(b.U > 0):
		return errors.New("the calibration says nothing of its uncertainty")
	case b.By == "":
		return errors.New("nobody stands for the calibration")
	}
	for _, date := range []string{b.On, b.Due} {
		if _, err := time.Parse(time.DateOnly, date); err != nil {
			return fmt.Errorf("date of the calibration: %w", err)
		}
	}
	for _, p := range []Taken{b.Ice, b.Boil} {
		if err := p.check(); err != nil {
			return err
		}
	}
	return nil
}

func (p Taken) check() error {
	if p.N < 1 || !(p.U > 0) || !(p.Spread >= 0) {
		return fmt.Errorf("a point of the calibration rests on %d readings, spread %v, known to %v", p.N, p.Spread, p.U)
	}
	if _, err := time.Parse(time.RFC3339, p.At); err != nil {
		return fmt.Errorf("time of a point of the calibration: %w", err)
	}
	return nil
}

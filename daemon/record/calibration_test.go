package record

import (
	"strings"
	"testing"
	"time"
)

func calibrated() Calibration {
	at := "2026-03-01T09:10:00Z"
	return Calibration{
		Probe: "28-000005fba71c",
		Ice:   Taken{Reads: 0.3125, True: 0, U: 0.061, N: 60, Spread: 0.01, At: at},
		Boil:  Taken{Reads: 99.19, True: 98.31, U: 0.08, N: 60, Spread: 0.05, At: at, Pressure: 95480, Depth: 0.05},
		Gain:  0.994235, Offset: -0.3082, U: 0.36, On: "2026-03-01", Due: "2027-03-01", By: "Robin",
	}
}

// A calibration comes back from the record as it was entered, as an entry of the site.
func TestACalibrationIsKept(t *testing.T) {
	r := openIn(t, t.TempDir())
	appendTo(t, r, must(Of(0, nine, "", calibrated())))
	all := must(r.OfKind(t.Context(), KindCalibration))
	if len(all) != 1 {
		t.Fatalf("%d calibrations in the record", len(all))
	}
	var got Calibration
	if err := all[0].Decode(&got); err != nil || got != calibrated() {
		t.Errorf("it comes back as %+v, %v", got, err)
	}
}

// It is due again a year later, a leap day or not.
func TestACalibrationIsDueAYearLater(t *testing.T) {
	on, due := Dates(time.Date(2028, 2, 29, 12, 0, 0, 0, time.UTC))
	if on != "2028-02-29" || due != "2029-03-01" {
		t.Errorf("done on %s, due on %s", on, due)
	}
}

// A calibration that nobody could check later is refused.
func TestACalibrationMustBeWhole(t *testing.T) {
	for want, spoil := range map[string]func(*Calibration){
		"probe":              func(c *Calibration) { c.Probe = "the old one" },
		"gain":               func(c *Calibration) { c.Gain = 0 },
		"uncertainty":        func(c *Calibration) { c.U = 0 },
		"nobody":             func(c *Calibration) { c.By = "" },
		"date":               func(c *Calibration) { c.Due = "soon" },
		"0 readings":         func(c *Calibration) { c.Ice.N = 0 },
		"time of a point":    func(c *Calibration) { c.Boil.At = "noon" },
		"known to 0":         func(c *Calibration) { c.Boil.U = 0 },
		"would be read back": func(c *Calibration) { c.Probe = "28-000005FBA71C" },
	} {
		c := calibrated()
		spoil(&c)
		if _, err := Of(0, nine, "", c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

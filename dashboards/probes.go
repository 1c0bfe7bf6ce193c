package dashboards

import (
	"fmt"
	"io"
	"time"

	"bainward/rules"
)

// CalibrationStep is where the calibration of a probe has come to.
type CalibrationStep string

// The steps of a calibration, in order. At Ice and Boil readings are waited for; at
// Move and Result a person is.
const (
	CalibrationIce    CalibrationStep = "ice"
	CalibrationMove   CalibrationStep = "move"
	CalibrationBoil   CalibrationStep = "boil"
	CalibrationResult CalibrationStep = "result"
	CalibrationOver   CalibrationStep = "over"
)

// Probes is all that is known of the probes of a site, and the calibration that is
// going on, or the one that ended last. Temperatures are in °C, differences in K.
type Probes struct {
	Probes      []Probe      `json:"probes"`
	Calibration *Calibration `json:"calibration"` // nil: there was none
}

// Probe is one probe of one bath, or of a place where bottles stand.
type Probe struct {
	Address string `json:"address"`
	Bath    string `json:"bath"` // empty: it is of a place
	Role    string `json:"role"` // in the bath, or the place: "fridge", "cool" or "room"
	Lit     bool   `json:"lit"`  // its bath is, so it cannot be calibrated now
	// Of the correction that counts from the next batch on. On is the date; empty: it
	// was never calibrated, and U is what the data sheet allows at the boil, or as warm
	// as the place is meant to be.
	On      string  `json:"calibrated_on"`
	U       float64 `json:"u_c"`
	Due     string  `json:"due"` // date
	Overdue bool    `json:"overdue"`
	By      string  `json:"by"`     // empty where the site file says it
	Counts  bool    `json:"counts"` // already; else after the batch that is open
	// Boils are the hardest of its last macerations, of a bath probe; newest first.
	Boils []ProbeBoil `json:"boils"`
}

// ProbeBoil is how a bath probe stood while its water boiled hardest in a maceration.
type ProbeBoil struct {
	At       time.Time `json:"at"`        // when the heat ended
	Off      float64   `json:"off_c"`     // corrected reading less the boiling point of the moment
	Boiling  float64   `json:"boiling_c"` // that boiling point
	Measured bool      `json:"measured"`  // by a barometer; else from the elevation
}

// Calibration is a probe being led through ice and boiling water.
type Calibration struct {
	Probe  string          `json:"probe"`
	Step   CalibrationStep `json:"step"`
	Say    string          `json:"say"`     // what is to be done
	Wait   string          `json:"wait"`    // why nothing is taken yet; empty: nothing is waited for
	Reads  *float64        `json:"reads_c"` // now, raw; nil: it gives no reading
	N      int             `json:"n"`       // readings in the row
	Of     int             `json:"of"`      // that are wanted
	Ice    *CalibrationAt  `json:"ice"`     // nil: not taken
	Boil   *CalibrationAt  `json:"boil"`
	Result *Correction     `json:"result"`
}

// CalibrationAt is a point that was taken.
type CalibrationAt struct {
	Reads  float64 `json:"reads_c"`
	True   float64 `json:"true_c"`
	U      float64 `json:"u_c"` // standard uncertainty
	N      int     `json:"n"`
	Spread float64 `json:"spread_c"`
	// Of the boil: from what it follows.
	Pascal int32   `json:"pressure_pa,omitempty"`
	Depth  float64 `json:"depth_m,omitempty"`
}

// Correction is a result, beside the correction before it.
type Correction struct {
	Gain    float64 `json:"gain"`
	Offset  float64 `json:"offset_c"`
	U       float64 `json:"u_c"` // expanded, k = 2
	AtIce   float64 `json:"more_at_ice_c"`
	AtBoil  float64 `json:"more_at_boil_c"` // than by the correction before
	Before  string  `json:"before"`         // date of that; empty: there was none
	BeforeU float64 `json:"before_u_c"`
}

// ProbesPage is the page of the probes.
type ProbesPage struct {
	Site, Version, Assets string
	Demo                  float64
	Units                 rules.Units
	Places                []Place
	Standing              []Standing
	Probes
	MayKeep bool // whoever looks on may calibrate
}

// RenderProbes writes the page.
func (t *Pages) RenderProbes(w io.Writer, p ProbesPage) error { return t.execute(w, "probes-page", p) }

// RenderProbesPart writes what changes on it alone, for a page that is open already.
func (t *Pages) RenderProbesPart(w io.Writer, p ProbesPage) error {
	return t.execute(w, "probes-part", p)
}

// Temp is a temperature to the hundredth, in the units of the site.
func (p ProbesPage) Temp(c float64) string {
	if p.Units == rules.US {
		return fmt.Sprintf("%.2f °F", float64(c*1.8)+32)
	}
	return fmt.Sprintf("%.2f °C", c)
}

// TempNow is a temperature that may be missing.
func (p ProbesPage) TempNow(c *float64) string {
	if c == nil {
		return "no reading"
	}
	return p.Temp(*c)
}

// Diff is a difference of temperatures to the hundredth; more and less are told by
// its sign.
func (p ProbesPage) Diff(k float64) string {
	if p.Units == rules.US {
		return fmt.Sprintf("%+.2f °F", k*1.8)
	}
	return fmt.Sprintf("%+.2f °C", k)
}

// Within is an uncertainty.
func (p ProbesPage) Within(k float64) string {
	if p.Units == rules.US {
		return fmt.Sprintf("±%.2f °F", k*1.8)
	}
	return fmt.Sprintf("±%.2f °C", k)
}

// Cm is a depth in whole centimetres, or in inches.
func (p ProbesPage) Cm(m float64) string {
	if p.Units == rules.US {
		return fmt.Sprintf("%.1f in", m/0.0254)
	}
	return fmt.Sprintf("%.0f cm", m*100)
}

// Of is the calibration that is going on at a probe, or ended there last.
func (p ProbesPage) Of(address string) *Calibration {
	if p.Calibration == nil || p.Calibration.Probe != address {
		return nil
	}
	return p.Calibration
}

// Deep is what a depth is asked in: cm, or inches where people measure in them.
func (p ProbesPage) Deep() string {
	if p.Units == rules.US {
		return "in"
	}
	return "cm"
}

// Busy reports whether another calibration may not begin.
func (p ProbesPage) Busy() bool {
	return p.Calibration != nil && p.Calibration.Step != CalibrationOver
}

// OverdueOn reports whether a date has passed at an instant; an empty one never has.
func OverdueOn(due string, at time.Time) bool {
	return due != "" && at.Format(time.DateOnly) > due
}

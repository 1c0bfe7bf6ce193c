package dashboards

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

var nan = math.NaN()

// holding is a bath that simmers, with everything known.
func holding() fold.Snapshot {
	return fold.Snapshot{
		Bath: "north", Batch: "7", At: time.Hour, Phase: rules.Holding, Pass: 1, Sentence: "The hold counts.",
		Rig:      rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Celsius:  [sensors.RoleCount]float64{91.375, 99.6875, 21},
		Pressure: 100930, Measured: true, BoilingC: 99.89, FloorC: 84.89, CeilingC: 100.9, OilMaxC: 92,
		Hold: 52 * time.Minute, HoldAsked: 2 * time.Hour, BareKg: 1.43,
		Estimate: balance.Estimate{
			WaterKg:     balance.Range{P10: 1.52, P50: 1.63, P90: 1.74},
			BoilOffKgH:  balance.Range{P10: 0.45, P50: 0.55, P90: 0.66},
			ToBareS:     balance.Range{P10: 900, P50: 1300, P90: 2100},
			ToDryS:      balance.Range{P10: 7200, P50: 9300, P90: 12000},
			HerbWaterKg: balance.Unknown,
		},
	}
}

// mustBeXML fails unless s is one well-formed document.
func mustBeXML(t *testing.T, s string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(s))
	for {
		if _, err := d.Token(); err != nil {
			if !errors.Is(err, io.EOF) {
				t.Fatalf("not well-formed: %v\n%s", err, s)
			}
			return
		}
	}
}

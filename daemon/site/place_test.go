package site

import (
	"testing"

	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

const fridge = `
[[place]]
name = "fridge"
probe = "28-00000a1d3c77"
`

// A place that says nothing of its own is too warm where its name ends to be true
// (USP <659>, from memory), and its probe is listed behind those of the baths.
func TestAPlaceHasItsProbeAndItsLimit(t *testing.T) {
	s := mustParse(t, designExample+fridge)
	want := Place{Name: ledger.Fridge, Probe: sensors.NewAddress(sensors.FamilyDS18B20, 0x00000a1d3c77), WarmC: 8}
	if len(s.Places) != 1 || s.Places[0] != want {
		t.Errorf("places are %+v, want %+v", s.Places, want)
	}
	probes := s.Probes()
	if p := probes[len(probes)-1]; len(probes) != 3 || p.Use() != "fridge" || probes[0].Use() != "north oil" {
		t.Errorf("probes are %+v", probes)
	}
}

// Where there is one wire, or the place shares that of a bath, it is read with the
// baths; on a wire of its own, or on one that nobody named, apart from them.
func TestAPlaceOnItsOwnWireIsReadApart(t *testing.T) {
	wires := `
[[wire]]
kind = "kernel"
name = "hob"
[[wire]]
kind = "bridge"
name = "cellar"
bus = "1"
`
	for what, c := range map[string]struct {
		text   string
		beside bool
	}{
		"one wire":               {designExample + fridge, false},
		"two wires, none named":  {designExample + fridge + wires, true},
		"a wire of its own":      {designExample + fridge + `wire = "cellar"` + wires, true},
		"the wire of a bath too": {designExample + fridge + `wire = "cellar"` + wires + onCellar, false},
	} {
		s := mustParse(t, c.text)
		if got := s.Beside(s.Places[0]); got != c.beside {
			t.Errorf("%s: read apart %v, want %v", what, got, c.beside)
		}
	}
}

const onCellar = `
[[bath]]
name = "south"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b14"
bath_probe = "28-000005fba71d"
wire = "cellar"
`

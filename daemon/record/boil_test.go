package record

import (
	"math"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/sensors"
)

// How a probe stood on its boil comes back from the record to a thousandth.
func TestABoilIsKept(t *testing.T) {
	probe := sensors.NewAddress(sensors.FamilyDS18B20, 0x000005fba71c)
	r := openIn(t, t.TempDir())
	appendTo(t, r, must(Of(0, nine, "north", BoilOf(probe, rules.Boil{OffK: 0.41239, BoilingC: 99.97354, Measured: true}))))
	all := must(r.OfKind(t.Context(), KindBoil))
	if len(all) != 1 || all[0].Bath != "north" {
		t.Fatalf("the boils in the record are %+v", all)
	}
	var got Boil
	want := Boil{Probe: "28-000005fba71c", Off: 0.412, Boiling: 99.974, Measured: true}
	if err := all[0].Decode(&got); err != nil || got != want {
		t.Errorf("it comes back as %+v, %v, want %+v", got, err, want)
	}
}

// A boil that says nothing of a probe, or is no boil, is refused.
func TestABoilMustMakeSense(t *testing.T) {
	good := Boil{Probe: "28-000005fba71c", Boiling: 100}
	for want, spoil := range map[string]func(*Boil){
		"probe":              func(b *Boil) { b.Probe = "" },
		"would be read back": func(b *Boil) { b.Probe = "28-000005FBA71C" },
		"0 °C is none":       func(b *Boil) { b.Boiling = 0 },
		"NaN K off":          func(b *Boil) { b.Off = math.NaN() },
	} {
		b := good
		spoil(&b)
		if _, err := Of(0, nine, "north", b); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

package app

import (
	"fmt"
	"strings"
	"testing"

	"bainward/daemon/site"
	"bainward/sensors"
)

// stove is one bath of a site with many: its name and its two probes.
type stove struct {
	name      string
	oil, bath sensors.Address
}

// manyBaths returns a site with so many baths, all alike; the first is "north".
func manyBaths(t testing.TB, n int) (*site.Site, []stove) {
	t.Helper()
	s, all, err := workshop(n)
	if err != nil {
		t.Fatal(err)
	}
	return s, all
}

func workshop(n int) (*site.Site, []stove, error) {
	var text strings.Builder
	text.WriteString("[site]\nname = \"Alder Yard\"\nelevation_m = 120\n")
	all := make([]stove, n)
	for i := range all {
		all[i] = stove{
			name: fmt.Sprintf("stove-%02d", i+1),
			oil:  sensors.NewAddress(sensors.FamilyDS18B20, uint64(0xa000+i)),
			bath: sensors.NewAddress(sensors.FamilyDS18B20, uint64(0xb000+i)),
		}
		if i == 0 {
			all[i].name = "north"
		}
		fmt.Fprintf(&text, "[[bath]]\nname = %q\npan_inside_diameter_mm = 250\ndish_outside_diameter_mm = 205\n"+
			"dish_base_height_mm = 30\noil_probe = %q\nbath_probe = %q\n", all[i].name, all[i].oil, all[i].bath)
	}
	s, err := site.Parse("alder.toml", []byte(text.String()))
	return s, all, err
}

package app

import (
	"fmt"
	"strings"

	"bainward/daemon/site"
	"bainward/sensors"
)

// stove is one bath of a site with many: its name and its two probes.
type stove struct {
	name      string
	oil, bath sensors.Address
}

// workshop returns a site with n baths, all alike; the first is "north", which
// the kitchen of these tests knows.
func workshop(n int) (*site.Site, []stove, error) {
	var text strings.Builder
	text.WriteString(`[site]
name = "Alder Yard"
elevation_m = 120
`)
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
		fmt.Fprintf(&text, `[[bath]]
name = %q
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = %q
bath_probe = %q
`, all[i].name, all[i].oil, all[i].bath)
	}
	s, err := site.Parse("alder.toml", []byte(text.String()))
	return s, all, err
}

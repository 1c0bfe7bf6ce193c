package site

import (
	"slices"
	"strings"
	"testing"
)

const makerSite = `
[site]
name = "Alder Yard"
elevation_m = 120
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
`

// Who answers for the oil is read, and said as it will stand on labels.
func TestTheMakerStandsOnLabels(t *testing.T) {
	s, err := Parse("a.toml", []byte(makerSite+`
[maker]
name = "Alder Yard, Robin"
address = ["1 Alder Lane", "Alderton"]
label_fonts = ["/usr/share/fonts/one.ttf"]
`))
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Maker.Responsible(); got != "Alder Yard, Robin, 1 Alder Lane, Alderton" {
		t.Errorf("on labels stands %q", got)
	}
	if !slices.Equal(s.Maker.LabelFonts, []string{"/usr/share/fonts/one.ttf"}) {
		t.Errorf("typefaces %q", s.Maker.LabelFonts)
	}
	if !strings.Contains(s.Explain(), "Labels: Alder Yard, Robin, 1 Alder Lane, Alderton\n  further typefaces: /usr/share/fonts/one.ttf\n") {
		t.Errorf("it is explained as %s", s.Explain())
	}
	none, err := Parse("a.toml", []byte(makerSite))
	if err != nil || none.Maker.Responsible() != "" || strings.Contains(none.Explain(), "Labels:") {
		t.Errorf("without [maker]: %+v, %v", none, err)
	}
}

// What would make an incomplete label is refused, with its line.
func TestAMakerWithoutANameOrAddressIsRefused(t *testing.T) {
	for _, c := range []struct{ table, want string }{
		{"[maker]\n", "name is missing: who answers for the oil"},
		{"[maker]\nname = \"Robin\"\n", "address must be 1 to 6 lines"},
		{"[maker]\nname = \"Robin\"\naddress = [\" \"]\n", `a.toml line 14: [maker]: address line " " must be one line`},
		{"[maker]\nname = \"Ro\\nbin\"\naddress = [\"x\"]\n", "must be one line of at most 80 bytes"},
		{"[maker]\nname = \"Robin\"\naddress = [\"x\"]\nlabel_fonts = [\"one.ttf\"]\n", "must be the whole path of a TrueType file"},
		{"[maker]\nname = \"Robin\"\naddress = \"x\"\n", "address"},
		{"[maker]\nname = \"Robin\"\naddress = [\"x\"]\nstreet = \"x\"\n", "street"},
	} {
		_, err := Parse("a.toml", []byte(makerSite+c.table))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %q", c.table, err, c.want)
		}
	}
}

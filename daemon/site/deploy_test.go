package site

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// The site file that people copy is right, and so is everything that they can
// uncomment in it about calls: each table that stands there after # is put in
// force, all of them at once.
func TestTheDeployedExampleIsRightWithAllItsTables(t *testing.T) {
	const file = "../../deploy/site.toml"
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Parse(file, text); err != nil {
		t.Error(err)
	}
	header := regexp.MustCompile(`^# \[+(channel|heartbeat|sibling|cutout)\]+$`)
	key := regexp.MustCompile(`^# [a-z_]+ = `)
	lines, inTable, tables := strings.Split(string(text), "\n"), false, 0
	for i, line := range lines {
		switch {
		case header.MatchString(line):
			inTable = true
			tables++
		case !key.MatchString(line):
			inTable = false
		}
		if inTable {
			lines[i] = strings.TrimPrefix(line, "# ")
		}
	}
	all := strings.Join(lines, "\n") + `
[[bath]]
name = "south"
pan_inside_diameter_mm = 300
dish_outside_diameter_mm = 240
dish_base_height_mm = 35
oil_probe = "28-00000bbb9b14"
bath_probe = "28-000005fba71d"
`
	s, err := Parse(file, []byte(all))
	if err != nil {
		t.Fatal(err)
	}
	if tables != 7 || len(s.Channels) != 5 || s.Heartbeat == nil || len(s.Siblings) != 1 || len(s.Cutouts) != 2 {
		t.Errorf("%d tables were put in force and gave %d channels, heartbeat %v, %d siblings, %d cut-outs",
			tables, len(s.Channels), s.Heartbeat, len(s.Siblings), len(s.Cutouts))
	}
}

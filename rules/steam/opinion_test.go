package steam_test

import (
	"encoding/csv"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"bainward/rules/steam"
)

// TestSecondOpinion compares a grid of points with the Python package iapws
// (Debian's python3-iapws), a separate implementation of IF97.
func TestSecondOpinion(t *testing.T) {
	functions := map[string]struct {
		f        func(float64) float64
		absolute float64
		relative float64
	}{
		"pressure":      {steam.VapourPressure, 0, 1e-9},
		"boiling":       {steam.BoilingPoint, 1e-6, 0},
		"latent heat":   {steam.LatentHeat, 0.4, 0},
		"density":       {steam.Density, 0.0004, 0},
		"heat capacity": {steam.HeatCapacity, 0.04, 0},
	}
	seen := map[string]int{}
	for _, l := range opinion(t) {
		c, known := functions[l[0]]
		if !known {
			t.Fatalf("the grid names %q, which this test does not know", l[0])
		}
		x, err := strconv.ParseFloat(l[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		want, err := strconv.ParseFloat(l[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		near(t, l[0]+" at "+l[1], c.f(x), want, c.absolute+c.relative*want)
		seen[l[0]]++
	}
	for name := range functions {
		if seen[name] < 90 {
			t.Errorf("the grid has %d points of %s, want at least 90", seen[name], name)
		}
	}
}

func opinion(t *testing.T) [][]string {
	t.Helper()
	const python = "/usr/bin/python3"
	if out, err := exec.Command(python, "-c", "import iapws").CombinedOutput(); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("ask iapws: %v (install python3-iapws)\n%s", err, out)
		}
		t.Skip("python3-iapws is not installed")
	}
	c := exec.Command(python, "testdata/iapws_grid.py")
	var complaints strings.Builder
	c.Stderr = &complaints
	out, err := c.Output()
	if err != nil {
		t.Fatalf("ask iapws: %v\n%s", err, complaints.String())
	}
	lines, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return lines[1:]
}

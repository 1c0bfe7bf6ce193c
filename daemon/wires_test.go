package main

import (
	"strings"
	"testing"

	"bainward/daemon/site"
	"bainward/sensors"
)

const twoWires = `
[site]
name = "Alder Yard"
elevation_m = 120
[[wire]]
kind = "kernel"
name = "bench"
[[wire]]
kind = "bridge"
name = "window"
bus = "1"
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
wire = "window"
`

func parseSite(t *testing.T, text string) *site.Site {
	t.Helper()
	s, err := site.Parse("alder.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestProbesOfABathArePinnedToItsWire(t *testing.T) {
	s := parseSite(t, twoWires)
	pinned := pins(s, s.Wires)
	if len(pinned) != 2 || pinned[oilProbe] != 1 || pinned[bathProbe] != 1 {
		t.Errorf("pinned are %v, want both probes on the second wire", pinned)
	}
	free := parseSite(t, strings.Replace(twoWires, `wire = "window"`, "", 1))
	if pinned := pins(free, free.Wires); len(pinned) != 0 {
		t.Errorf("pinned are %v although the bath names no wire", pinned)
	}
}

func TestRootReplacesTheOneKernelWire(t *testing.T) {
	s := parseSite(t, twoWires)
	wires, err := withRoot(s, "/tmp/w1")
	if err != nil {
		t.Fatal(err)
	}
	if wires[0].Root != "/tmp/w1" || wires[1] != s.Wires[1] {
		t.Errorf("wires are %+v, want only the kernel wire changed", wires)
	}
	if s.Wires[0].Root != "" {
		t.Error("the site itself was changed")
	}
	s.Wires = s.Wires[1:]
	if _, err := withRoot(s, "/tmp/w1"); err == nil {
		t.Error("a root was taken for a site without a kernel wire")
	}
}

func TestMissingProbesAreNamedBesideThoseThatAnswered(t *testing.T) {
	s := parseSite(t, twoWires)
	err := checkProbes(t.Context(), wireWith(sensors.AtCelsius(20), oilProbe, lostProbe), s)
	if err == nil {
		t.Fatal("a missing probe passed")
	}
	const want = "find the probes that alder.toml names: no answer from 28-000005fba71c (bath of bath north); " +
		"those that answered: 28-00000bbb9b13, 28-00001010d6ca: check the wiring, or correct the site file"
	if err.Error() != want {
		t.Errorf("error is\n%v\nwant\n%s", err, want)
	}
	if err := checkProbes(t.Context(), wireWith(sensors.AtCelsius(20), oilProbe, bathProbe), s); err != nil {
		t.Errorf("all probes are there, but: %v", err)
	}
}

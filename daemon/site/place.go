package site

import (
	"strings"

	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// Place is where bottles stand, with a probe of its own.
type Place struct {
	Name  ledger.Place
	Probe sensors.Address
	Wire  string  // name of a Wire; empty: any
	WarmC float64 // a mean kinetic temperature of a day above it is told
}

type placeTable struct {
	Name  string  `toml:"name"`
	Probe string  `toml:"probe"`
	Wire  string  `toml:"wire"`
	WarmC float64 `toml:"warm_c"`
}

// The range of warm_c: oil freezes about the lower (common practice, no source),
// and nobody keeps any above the upper.
const minWarm, maxWarm = 0, 40

// places checks the [[place]] tables. roles are what the baths use probes for: one
// has one place.
func (c *checker) places(tables []placeTable, wires []Wire, roles assigned) []Place {
	seen := map[string]int{}
	var all []Place
	for i, t := range tables {
		path := element("place", i)
		p := Place{Name: c.placeName(path, t.Name, seen), Wire: t.Wire}
		if c.given(path + ".probe") {
			if address, ok := c.address(path, "probe", t.Probe); ok {
				p.Probe = address
				c.onlyHere(path+".probe", t.Probe, address, roles)
			}
		} else {
			c.addf(path, "probe is missing: the address of the probe that hangs there; a place without one needs no [[place]]")
		}
		c.bathWire(path, t.Wire, wires)
		if storage, ok := p.Name.Storage(); ok {
			p.WarmC = storage.WarmestC()
		}
		if c.given(path + ".warm_c") {
			p.WarmC = c.within(path, "warm_c", t.WarmC, minWarm, maxWarm)
		}
		all = append(all, p)
	}
	return all
}

func (c *checker) placeName(path, written string, seen map[string]int) ledger.Place {
	place := ledger.Place(written)
	_, known := place.Storage()
	switch line := seen[written]; {
	case !c.given(path + ".name"):
		c.addf(path, `name is missing: "fridge", "cool" or "room"`)
	case !known:
		c.addf(path+".name", `name = %q must be "fridge", "cool" or "room": where bottles stand`, written)
	case line > 0:
		c.addf(path+".name", "name = %q is on line %d already: each place has one probe", written, line)
	}
	seen[written] = c.outline.line(path + ".name")
	return place
}

// onlyHere refuses a probe that is used elsewhere, and remembers it.
func (c *checker) onlyHere(path, written string, address sensors.Address, roles assigned) {
	if before, taken := roles[address]; taken {
		c.addf(path, "probe = %q is already %s of %s on line %d: a probe has one place",
			written, lastKey(before.path), c.outline.tableOf(before.path), c.outline.line(before.path))
		return
	}
	roles[address] = assignment{path: path}
}

// Beside reports whether the probe of a place is read apart from those of the baths:
// where it may hang on a wire of its own, no bath waits for that.
func (s *Site) Beside(p Place) bool {
	if len(s.Wires) == 1 {
		return false
	}
	for _, b := range s.Baths {
		if b.Wire == p.Wire && p.Wire != "" {
			return false
		}
	}
	return true
}

func (s *Site) explainPlaces(b *strings.Builder) {
	for _, p := range s.Places {
		storage, _ := p.Name.Storage()
		b.WriteString("Bottles " + storage.String() + ": measured by " + p.Probe.String() + ", " + s.calibrationWords(s.correction(p.Probe)) +
			"; too warm above " + s.Units.Temp(p.WarmC) + " over a day\n")
	}
}

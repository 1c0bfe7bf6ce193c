package site

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"bainward/rules"
	"bainward/rules/steam"
	"bainward/sensors"
)

// Explain says in plain words what a daemon with this site file watches, so
// that a person can hold it against what stands on the hob.
func (s *Site) Explain() string {
	var b strings.Builder
	s.explainPlace(&b)
	for _, bath := range s.Baths {
		b.WriteString("\n")
		s.explainBath(&b, bath)
	}
	recipes := s.Recipes
	if len(recipes) == 0 {
		plain, _ := s.recipe("") // there is always a plain one
		recipes = []Recipe{plain}
	}
	for i, r := range recipes {
		b.WriteString("\n")
		s.explainRecipe(&b, r, i == 0)
	}
	b.WriteString("\n")
	s.explainCalls(&b)
	for _, warning := range s.Warnings() {
		fmt.Fprintf(&b, "Warning: %s.\n", warning)
	}
	b.WriteString("\nbainward advises and is not a safety device: never leave a lit bath alone.\n")
	return b.String()
}

func (s *Site) explainPlace(b *strings.Builder) {
	fmt.Fprintf(b, "%s, %s m above sea level: water boils near %s.\n",
		s.Name, plain(s.ElevationM), s.Units.Temp(steam.BoilingPoint(steam.StandardPressure(s.ElevationM))))
	if s.Barometer != nil {
		fmt.Fprintf(b, "Air pressure: barometer at %#x on I²C bus %s.\n", s.Barometer.Address, s.Barometer.Bus)
	} else {
		fmt.Fprintf(b, "Air pressure: from the elevation; the weather moves the boiling point by up to %s.\n", s.Units.TempDiff(weatherC))
	}
	for _, w := range s.Wires {
		fmt.Fprintf(b, "Probes: %s.\n", w)
	}
	s.explainPlaces(b)
	s.explainPages(b)
	s.explainPeople(b)
	s.explainMaker(b)
	switch {
	case s.Broker == nil:
		b.WriteString("Published: nothing; the file names no broker.\n")
	case s.Broker.Embedded != "":
		fmt.Fprintf(b, "Published: under %s, by a broker served at %s.\n", s.Broker.Topic, s.Broker.Embedded)
	default:
		fmt.Fprintf(b, "Published: under %s, to %s.\n", s.Broker.Topic, s.Broker.URL)
	}
	s.explainOrders(b)
	if changed := changedRules(rules.DefaultLimits(), s.Limits); len(changed) > 0 {
		fmt.Fprintf(b, "Limits of its own for: %s.\n", strings.Join(changed, ", "))
	}
	s.explainSpares(b)
}

func (s *Site) explainPages(b *strings.Builder) {
	reach := "only from this machine"
	if !loopback(s.Listen) {
		reach = "other machines can reach them"
	}
	scheme := "http"
	if s.TLS(s.Listen) {
		scheme = "https"
	}
	fmt.Fprintf(b, "Pages: %s://%s/ (%s)\n", scheme, s.Listen, reach)
	record := "under $STATE_DIRECTORY, else in ./bainward-record"
	if s.Record != "" {
		record = "in " + s.Record
	}
	fmt.Fprintf(b, "Record: %s\n", record)
	fmt.Fprintf(b, "Clocks: %s\n", s.clockWords())
	if t := s.Thin; t.After > 0 {
		fmt.Fprintf(b, "Old readings: of those between batches one in %g s is kept after %g days; those of batches all are.\n", t.Every.Seconds(), t.After.Hours()/24)
	}
}

// weatherC is how far the weather moves the boiling point: ±3 kPa from day to
// day (common practice, no source) at 0.2765 K/kPa (IAPWS-IF97 at 101 325 Pa).
const weatherC = 3 * 0.2765

// String says in words how the wire is reached.
func (w Wire) String() string {
	name := ""
	if w.Name != "" {
		name = fmt.Sprintf(" (%s)", w.Name)
	}
	switch {
	case w.Kind == BridgeWire && w.Channel > 0:
		return fmt.Sprintf("bridge at %#x on I²C bus %s, channel %d%s", w.Address, w.Bus, w.Channel, name)
	case w.Kind == BridgeWire:
		return fmt.Sprintf("bridge at %#x on I²C bus %s%s", w.Address, w.Bus, name)
	case w.Root != "":
		return fmt.Sprintf("the kernel's 1-Wire files under %s%s", w.Root, name)
	}
	return "the kernel's 1-Wire files" + name
}

// explainSpares names calibrations that no bath uses: a spare probe, or a slip.
func (s *Site) explainSpares(b *strings.Builder) {
	used := map[sensors.Address]bool{}
	for _, p := range s.Probes() {
		used[p.Address] = true
	}
	for _, c := range s.Calibrations {
		if !used[c.Address] {
			fmt.Fprintf(b, "Calibrated but in no bath and no place: %s.\n", c.Address)
		}
	}
}

func (s *Site) explainBath(b *strings.Builder, bath Bath) {
	r := bath.Rig
	litres := math.Pi / 4 * r.PanInsideDiameter * r.PanInsideDiameter * r.DishBaseHeight / 1e6
	fmt.Fprintf(b, "Bath %s: pan %s mm, dish %s mm, its base %s mm above the pan floor, which %s of water just reaches.\n",
		bath.Name, plain(r.PanInsideDiameter), plain(r.DishOutsideDiameter), plain(r.DishBaseHeight), s.Units.Water(litres))
	if r.WetsBaseG > 0 {
		fmt.Fprintf(b, "  base  wetted by %s g of cold water, as weighed (by the ruler: %.0f g); the weight counts\n",
			plain(r.WetsBaseG), ruled(r.PanInsideDiameter, r.DishBaseHeight))
	}
	explainVessels(b, bath.Vessels)
	for role, address := range bath.Probes {
		role := sensors.Role(role)
		if address == 0 {
			fmt.Fprintf(b, "  %-4s  no probe\n", role)
			continue
		}
		fmt.Fprintf(b, "  %-4s  %s, %s\n", role, address, s.calibrationWords(s.correction(address)))
	}
}

func (s *Site) calibrationWords(c rules.Correction) string {
	switch {
	case c.On == "":
		return fmt.Sprintf("not calibrated: within %s up to %s, within %s near boiling",
			s.Units.TempDiff(c.Error(20)), s.Units.Temp(85), s.Units.TempDiff(c.Error(100)))
	case c.Uncertainty == 0:
		return fmt.Sprintf("calibrated on %s, uncertainty not given", c.On)
	}
	return fmt.Sprintf("calibrated on %s, within %s", c.On, s.Units.TempDiff(c.Uncertainty))
}

func (s *Site) explainRecipe(b *strings.Builder, r Recipe, first bool) {
	fmt.Fprintf(b, "Recipe %s", r.Name)
	if first {
		b.WriteString(" (used when none is named)")
	}
	if what := ingredients(r); what != "" {
		b.WriteString(": " + what)
	}
	b.WriteString(".\n")
	passes := "one maceration"
	if r.Macerations > 1 {
		passes = fmt.Sprintf("%d macerations", r.Macerations)
	}
	floor := fmt.Sprintf("%s below boiling", s.Units.TempDiff(r.FloorBelowBoiling))
	if r.FloorC > 0 {
		floor = s.Units.Temp(r.FloorC)
	}
	ceiling := "the boiling point plus the probe's uncertainty"
	if r.CeilingC > 0 {
		ceiling = s.Units.Temp(r.CeilingC)
	}
	fmt.Fprintf(b, "  %s; hold %s from %s up; too hot above %s\n", passes, rules.Minutes(r.Hold), floor, ceiling)
	s.explainGiven(b, r)
	if changed := changedRules(s.Limits, r.Limits); len(changed) > 0 {
		fmt.Fprintf(b, "  limits of its own for: %s\n", strings.Join(changed, ", "))
	}
}

func ingredients(r Recipe) string {
	var parts []string
	if r.Herb != "" {
		state := "dried"
		if r.Fresh {
			state = "fresh"
		}
		parts = append(parts, r.Herb, state)
	}
	if r.HerbG > 0 {
		parts = append(parts, plain(r.HerbG)+" g")
	}
	if r.OilML > 0 || r.Oil != "" {
		oil := strings.TrimSpace(r.Oil + " oil")
		switch {
		case r.Given.OilKg > 0:
			oil = plain(r.Given.OilKg*1000) + " g " + oil
		case r.OilML > 0:
			oil = plain(r.OilML) + " ml " + oil
		}
		parts = append(parts, "in "+oil)
	}
	return strings.Join(parts, ", ")
}

// changedRules lists the rules whose limits differ between a and b.
func changedRules(a, b rules.Limits) []string {
	var ids []string
	va, vb := reflect.ValueOf(a), reflect.ValueOf(b)
	for i := range va.NumField() {
		if !reflect.DeepEqual(va.Field(i).Interface(), vb.Field(i).Interface()) {
			ids = append(ids, tomlName(va.Type().Field(i)))
		}
	}
	return ids
}

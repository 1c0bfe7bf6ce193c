package site

import (
	"fmt"
	"math"
	"net"
	"strconv"
	"strings"

	"bainward/rules"
)

// checker turns a document into a Site and notes what is wrong on the way.
// Its functions return something usable even then, so that the checks go on.
type checker struct {
	problems
	secrets []secretUse
}

func (c *checker) site(doc document) *Site {
	s := &Site{Limits: doc.Limits}
	c.brackets()
	c.siteTable(doc.Site, s)
	s.Maker = c.maker(doc.Maker)
	s.Wires = c.wires(doc.Wire)
	s.Barometer = c.barometer(doc.Barometer)
	s.Broker = c.broker(doc.Broker, doc.Person)
	c.people(doc, s)
	s.Thin = c.thin(doc.Thin)
	roles := assigned{}
	s.Baths = c.baths(doc.Bath, s.Wires, roles)
	s.Places = c.places(doc.Place, s.Wires, roles)
	s.Calibrations = c.calibrations(doc.Probe)
	s.Recipes = c.recipes(doc.Recipe, s.ElevationM)
	c.calls(doc, s)
	s.secrets = c.secrets
	return s
}

// brackets finds [bath] where [[bath]] is meant, which the decoder lets pass.
func (c *checker) brackets() {
	for _, kind := range []string{"wire", "channel", "contact", "sibling", "cutout", "person", "bath", "place", "probe", "recipe"} {
		if c.given(kind) && !c.given(element(kind, 0)) {
			c.addf(kind, "write [[%s]] in double brackets: there can be several", kind)
		}
	}
}

// The lowest shore and the highest workshop: the Dead Sea lies some 430 m
// below sea level, and the highest lasting town some 5,100 m above it (both
// from memory).
const (
	minElevation = -430
	maxElevation = 6000
)

func (c *checker) siteTable(t siteTable, s *Site) {
	if !c.given("site") {
		c.addf("", "no [site]: it holds the name and elevation_m of the workshop")
		return
	}
	s.Name = t.Name
	switch {
	case strings.TrimSpace(t.Name) == "":
		c.addf("site.name", "name is missing: what people call this workshop")
	case len(t.Name) > maxSiteName || strings.ContainsFunc(t.Name, unfitForTopic):
		c.addf("site.name", "name = %q must be at most %d bytes without + # / and control characters, because it becomes part of a topic", t.Name, maxSiteName)
	}
	s.ElevationM = c.number("site", "elevation_m", t.Elevation, minElevation, maxElevation, "height above sea level in m; the boiling point follows from it")
	s.Units = c.units(t.Units)
	s.Zone = c.zone(t.Zone)
	s.Listen = DefaultListen
	if c.given("site.listen") {
		s.Listen = c.hostPort("site", "listen", t.Listen)
	}
	s.Record = t.Record
	if c.given("site.record") && strings.TrimSpace(t.Record) == "" {
		c.addf("site.record", "record is empty: name a folder, or leave the key out")
	}
}

const maxSiteName = 64

func unfitForTopic(r rune) bool { return r < ' ' || strings.ContainsRune("+#/\x7f\uFFFD", r) }

func (c *checker) units(word string) rules.Units {
	switch word {
	case "us":
		return rules.US
	case "metric":
	case "":
		if !c.given("site.units") {
			break
		}
		fallthrough
	default:
		c.addf("site.units", `units = %q must be "metric" or "us"`, word)
	}
	return rules.Metric
}

// given reports whether the file has the key or table at path.
func (c *checker) given(path string) bool { return c.outline.lines[path] > 0 }

// number checks a required number: between lo and hi, both allowed.
func (c *checker) number(table, key string, value, lo, hi float64, meaning string) float64 {
	if !c.given(join(table, key)) {
		c.addf(table, "%s is missing: %s", key, meaning)
		return value
	}
	return c.within(table, key, value, lo, hi)
}

// within checks a number that may be left out.
func (c *checker) within(table, key string, value, lo, hi float64) float64 {
	path := join(table, key)
	finite := !math.IsNaN(value) && !math.IsInf(value, 0) // the outline has complained of those
	if c.given(path) && finite && (value < lo || value > hi) {
		c.addf(path, "%s = %s must be from %s to %s", key, plain(value), plain(lo), plain(hi))
	}
	return value
}

// plain writes a number as a person would type it.
func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// maxName bounds names of baths and wires: they stand in topics, on pages and on
// labels.
const maxName = 40

// name checks the name of the table at path against those before it. Names
// that differ only in case are one name: people read them over a phone.
func (c *checker) name(path, name, meaning string, seen map[string]int) string {
	key := join(path, "name")
	switch {
	case name == "":
		c.addf(key, "name is missing: %s", meaning)
	case len(name) > maxName || strings.ContainsFunc(name, unfitForName):
		c.addf(key, "name = %q must be at most %d letters (a-z, A-Z), digits, - and _, because it becomes part of a topic", name, maxName)
	default:
		c.unique(path, name, seen)
	}
	return name
}

// unique checks that no table before has the name of the one at path.
func (c *checker) unique(path, name string, seen map[string]int) {
	key, fold := join(path, "name"), strings.ToLower(name)
	if seen[fold] > 0 {
		c.addf(key, "name = %q is taken by line %d: names must differ", name, seen[fold])
		return
	}
	seen[fold] = c.outline.line(key)
}

func unfitForName(r rune) bool {
	return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && r != '-' && r != '_'
}

// hostPort checks an address to listen at, such as 127.0.0.1:8470 or :8470.
func (c *checker) hostPort(table, key, value string) string {
	_, port, err := net.SplitHostPort(value)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	if err != nil {
		c.addf(join(table, key), "%s = %q must be a host and a port number, such as %q", key, value, DefaultListen)
	}
	return value
}

// element returns the path of the i-th table of an array.
func element(kind string, i int) string { return fmt.Sprintf("%s[%d]", kind, i) }

package site

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// The Pi's header has GPIO0 to GPIO27, of which 0 and 1 are kept for the memory
// of a board put on top (from memory).
const minPin, maxPin = 2, 27

var pinName = regexp.MustCompile(`^GPIO(0|[1-9][0-9]?)$`)

// takenPins says what each pin is used for.
type takenPins map[string]string

// takenPins lists what the wires and the barometer need: the kernel's 1-Wire is
// on GPIO4 unless the Pi was told otherwise, and bus 1 of I²C is on GPIO2 and
// GPIO3 (Raspberry Pi documentation, w1-gpio and i2c overlays; from memory).
func (c *checker) takenPins(s *Site) takenPins {
	taken := takenPins{}
	var buses []string
	for _, w := range s.Wires {
		if w.Kind == KernelWire {
			taken["GPIO4"] = "the kernel's 1-Wire bus"
		} else {
			buses = append(buses, w.Bus)
		}
	}
	if s.Barometer != nil {
		buses = append(buses, s.Barometer.Bus)
	}
	for _, bus := range buses {
		if strings.TrimPrefix(strings.TrimPrefix(bus, "/dev/i2c-"), "I2C") == "1" {
			taken["GPIO2"], taken["GPIO3"] = "I²C bus 1", "I²C bus 1"
		}
	}
	return taken
}

// pin checks the name of a pin at path and that nothing else has it.
func (c *checker) pin(path, name string, taken takenPins) string {
	if !c.given(path) {
		return ""
	}
	number := -1
	if match := pinName.FindStringSubmatch(name); match != nil {
		number, _ = strconv.Atoi(match[1])
	}
	switch other := taken[name]; {
	case number < minPin || number > maxPin:
		c.addf(path, "pin = %q must be GPIO%d to GPIO%d, such as \"GPIO17\": the number of the chip, not of the place on the header", name, minPin, maxPin)
	case other != "":
		c.addf(path, "pin = %q is taken by %s: choose another", name, other)
	default:
		taken[name] = c.outline.tableOf(path) + " on line " + strconv.Itoa(c.outline.line(path))
	}
	return name
}

// maxPulledUp: GPIO2 to GPIO8 are pulled high from power-on until somebody drives
// them (BCM2835 peripherals manual, table of pulls; from memory).
const maxPulledUp = 8

// A cut-out through the broker repeats itself, so that a socket that was
// restarted, or lost a message, knows within a minute.
const (
	defaultTold      = 10
	minTold, maxTold = 1, 60
	defaultOn        = "ON"
	defaultOff       = "OFF"
)

func (c *checker) cutouts(tables []cutoutTable, s *Site, pins takenPins) []Cutout {
	baths, topics := map[string]int{}, map[string]int{}
	cutouts := make([]Cutout, 0, len(tables))
	for i, t := range tables {
		path := element("cutout", i)
		c.cutoutBath(path, t.Bath, s.Baths, baths)
		cut := Cutout{Bath: t.Bath}
		switch pin, topic := c.given(path+".pin"), c.given(path+".topic"); {
		case pin && topic:
			c.addf(path+".topic", "topic and pin exclude each other: one cut-out goes one way")
		case pin:
			c.without(path, "a cut-out on a pin", "on", "off", "every_s")
			cut.Pin = c.pin(path+".pin", t.Pin, pins)
			if n, err := strconv.Atoi(strings.TrimPrefix(t.Pin, "GPIO")); err == nil && n >= minPin && n <= maxPulledUp {
				c.addf(path+".pin", "pin = %q is pulled high while the Pi starts, which would allow the heat: choose one of GPIO%d to GPIO%d", t.Pin, maxPulledUp+1, maxPin)
			}
			cut.Mode = c.mode(path, t.Mode)
		case topic:
			c.without(path, "a cut-out through the broker", "mode")
			c.cutoutTopic(path, t, s.Broker, topics, &cut)
		default:
			c.addf(path, "pin or topic is missing: by what the heat is taken away")
		}
		cutouts = append(cutouts, cut)
	}
	return cutouts
}

func (c *checker) cutoutBath(path, name string, baths []Bath, seen map[string]int) {
	key := path + ".bath"
	names := make([]string, 0, len(baths))
	for _, b := range baths {
		names = append(names, b.Name)
	}
	switch {
	case name == "":
		c.addf(key, "bath is missing: from which bath the heat is taken")
	case !slices.Contains(names, name):
		c.addf(key, "bath = %q is no [[bath]]; %s", name, meant(name, names))
	case seen[name] > 0:
		c.addf(key, "bath = %q has a cut-out on line %d already", name, seen[name])
	default:
		seen[name] = c.outline.line(key)
	}
}

func (c *checker) mode(path, word string) CutoutMode {
	i := slices.Index(modeWords[:], word)
	if i <= 0 {
		c.addf(path+".mode", `mode = %q must be "pulse" (it changes while the heat may stay on, so that a daemon that hangs cuts it too) or "level"`, word)
		return NoMode
	}
	return CutoutMode(i)
}

func (c *checker) cutoutTopic(path string, t cutoutTable, broker *Broker, seen map[string]int, cut *Cutout) {
	key := path + ".topic"
	switch {
	case broker == nil:
		c.addf(key, "topic needs a broker, and this file has no [broker]")
	case t.Topic == "" || len(t.Topic) > 200 || strings.HasPrefix(t.Topic, "$") ||
		strings.ContainsFunc(strings.ReplaceAll(t.Topic, "/", ""), unfitForTopic):
		c.addf(key, "topic = %q must be one topic, without + and # and not beginning with $, such as \"workshop/socket1/set\"", t.Topic)
	case seen[t.Topic] > 0:
		c.addf(key, "topic = %q is used on line %d already: two baths would switch one socket", t.Topic, seen[t.Topic])
	default:
		seen[t.Topic] = c.outline.line(key)
	}
	cut.Topic, cut.On, cut.Off = t.Topic, defaultOn, defaultOff
	if c.given(path + ".on") {
		cut.On = t.On
	}
	if c.given(path + ".off") {
		cut.Off = t.Off
	}
	if cut.On == cut.Off {
		c.addf(path, "on and off are both %q: a socket must tell them apart", cut.On)
	}
	cut.Every = c.seconds(path, "every_s", t.EveryS, defaultTold, minTold, maxTold)
}

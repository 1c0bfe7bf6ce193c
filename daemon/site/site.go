package site

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/ledger"
	"bainward/rules/batch/recipe"
	"bainward/sensors"
)

// Site is a checked site file, with its defaults filled in.
type Site struct {
	File         string // as given to Load or Parse
	Name         string
	ElevationM   float64
	Units        rules.Units
	Zone         *time.Location // of the clocks there; nil: none is named
	Listen       string         // host:port of the pages
	Record       string         // as written; empty: see RecordFolder
	Maker        Maker
	Wires        []Wire // at least one
	Barometer    *Barometer
	Broker       *Broker
	Phone        Phone
	Channels     []Channel
	Contacts     []Contact // in the order in which they are called; none: nobody is
	Heartbeat    *Heartbeat
	Siblings     []string // names of other sites on the same broker
	Cutouts      []Cutout // at most one a bath
	People       []Person // who may sign in; none: nobody does
	Door         Door
	Thin         Thin    // of old readings
	Baths        []Bath  // at least one
	Places       []Place // where bottles stand and a probe hangs
	Calibrations []Calibration
	Recipes      []Recipe // may be empty: the plain recipe
	Made         []Recipe // on the page: see With
	Limits       rules.Limits
	secrets      []secretUse
}

// WireKind says through what a wire is reached.
type WireKind uint8

// The kinds of wire.
const (
	KernelWire WireKind = iota // the kernel's own 1-Wire files
	BridgeWire                 // a DS248x on an I²C bus
)

// Wire is one 1-Wire bus with probes on it.
type Wire struct {
	Kind    WireKind
	Name    string // may be empty
	Root    string // KernelWire: folder of the devices; empty: the kernel's own
	Bus     string // BridgeWire: name of the I²C bus
	Address uint16 // BridgeWire: 7-bit I²C address
	Channel int    // BridgeWire: which wire of an eight-wire bridge
}

// Barometer is a BMP280 or BME280 on an I²C bus.
type Barometer struct {
	Bus     string
	Address uint16
}

// Broker is where readings and alarms are published: either URL or Embedded.
type Broker struct {
	URL          string // mqtt:// or mqtts://, with a port
	Embedded     string // host:port to serve a broker at
	Name         string
	PasswordFile string
	Topic        string // prefix, without a slash at either end
	Orders       Orders
	OrdersKey    SecretRef // of SignedOrders
}

// Bath is a pan with its dish and probes.
type Bath struct {
	Name    string
	Rig     rules.Rig
	Vessels batch.Vessels                      // sizes that only a plan needs; what is not given is 0
	Probes  [sensors.RoleCount]sensors.Address // by role; 0: not fitted
	Wire    string                             // name of a Wire; empty: any
}

// Recipe is what one maceration asks for, complete, the limits that hold while
// it is made, and what the maker measured of herb and oil for its plan.
type Recipe struct {
	rules.Recipe
	Limits  rules.Limits
	Given   batch.Given
	Written recipe.Written // as it was written down
}

// DefaultListen is where the pages are served when the file names no address:
// only to this machine. Elsewhere they want people who sign in.
const DefaultListen = "127.0.0.1:8470"

// DefaultTopic is the prefix of every MQTT topic when the file names none.
const DefaultTopic = "bainward"

// maxSize is far more than any workshop writes; a larger file is another file.
const maxSize = 1 << 20

// Load reads and checks the site file at path. Its error is Errors when the
// file could be read but is not right.
func Load(path string) (*Site, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read site file: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxSize+1))
	if err != nil {
		return nil, fmt.Errorf("read site file %q: %w", path, err)
	}
	if len(data) > maxSize {
		return nil, fmt.Errorf("read site file %q: larger than %d bytes, so not a site file", path, maxSize)
	}
	return Parse(path, data)
}

// Parse checks the text of a site file. name stands for the file in errors.
// Its error is Errors: all that was found, in the order of the lines.
func Parse(name string, data []byte) (*Site, error) {
	data = bytes.TrimPrefix(data, []byte("\uFEFF")) // some editors begin a file so
	c := checker{problems: problems{file: name, outline: outlineOf(data)}}
	doc, whole := decode(data, &c.problems)
	for _, o := range c.outline.odd {
		c.addf(o.path, "%s", o.text)
	}
	if !whole { // what was not read cannot be called missing
		return nil, c.err()
	}
	s := c.site(doc)
	s.File = name
	c.recipeLimits(data, s)
	if err := c.err(); err != nil {
		return nil, err
	}
	return s, nil
}

// Clock returns the zone by which people of the site count days: UTC where none is
// named.
func (s *Site) Clock() *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}

// RecordFolder returns where the record is kept: what the file says, else under
// stateDirectory, which is what systemd hands over in $STATE_DIRECTORY, else
// bainward-record in the working directory.
func (s *Site) RecordFolder(stateDirectory string) string {
	first, _, _ := strings.Cut(stateDirectory, ":") // systemd joins several with colons
	switch {
	case s.Record != "":
		return s.Record
	case first != "":
		return filepath.Join(first, "record")
	}
	return "bainward-record"
}

// Probe is one probe that the site names, and what for: either the role in a bath
// or the place where bottles stand.
type Probe struct {
	Address sensors.Address
	Bath    string
	Role    sensors.Role // of a bath's
	Place   ledger.Place // empty: it is a bath's
	Wire    string       // name of the wire it must be on; empty: any
}

// Use says what the probe is for.
func (p Probe) Use() string {
	if p.Place != "" {
		return string(p.Place)
	}
	return p.Bath + " " + p.Role.String()
}

// Probes lists the probes of all baths in the order of the file, then those of the
// places. A room probe that baths share is listed for each.
func (s *Site) Probes() []Probe {
	var all []Probe
	for _, b := range s.Baths {
		for role, address := range b.Probes {
			if address != 0 {
				all = append(all, Probe{Address: address, Bath: b.Name, Role: sensors.Role(role), Wire: b.Wire})
			}
		}
	}
	for _, p := range s.Places {
		all = append(all, Probe{Address: p.Probe, Place: p.Name, Wire: p.Wire})
	}
	return all
}

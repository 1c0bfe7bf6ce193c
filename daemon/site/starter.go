package site

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"bainward/sensors"
)

// Starter writes the text of a first site file around the probes that
// answered. Which probe is which is a guess, and the text says so: the warmest
// is taken for the bath's, because a bath is warmed before the oil in it. Sizes
// and elevation are examples to be changed. The text passes Parse.
//
// It needs two probes that gave a temperature. The wire is the one on which they
// were found.
func Starter(found []sensors.Sample, on Wire) ([]byte, error) {
	good := slices.DeleteFunc(slices.Clone(found), func(s sensors.Sample) bool { return !s.Reading.OK() })
	if len(good) < 2 {
		return nil, fmt.Errorf("start a site file: %d of %d probes gave a temperature, and a bath needs two (oil and bath): connect another and try again", len(good), len(found))
	}
	slices.SortFunc(good, func(a, b sensors.Sample) int { return cmp.Compare(a.Address.Serial(), b.Address.Serial()) })
	warmest := slices.MaxFunc(good, func(a, b sensors.Sample) int {
		return cmp.Compare(a.Reading.Temperature, b.Reading.Temperature)
	})
	rest := slices.DeleteFunc(slices.Clone(good), func(s sensors.Sample) bool { return s.Address == warmest.Address })
	var b strings.Builder
	b.WriteString(starterPlace)
	starterWire(&b, on)
	b.WriteString(starterRig)
	starterProbe(&b, "", "oil_probe", rest[0], "in the oil; a guess, the next in order")
	starterProbe(&b, "", "bath_probe", warmest, "in the water; a guess, the warmest of them")
	rest = rest[1:]
	if len(rest) > 0 {
		starterProbe(&b, "", "room_probe", rest[0], "in the room's air; a guess, leave it out if there is none")
		rest = rest[1:]
	} else {
		b.WriteString("# room_probe = \"28-...\"         # in the room's air, if there is one\n")
	}
	for _, s := range rest {
		starterProbe(&b, "# ", "spare", s, "answered as well; for another [[bath]]")
	}
	b.WriteString(starterRecipe)
	return []byte(b.String()), nil
}

func starterWire(b *strings.Builder, on Wire) {
	switch {
	case on.Kind == BridgeWire:
		fmt.Fprintf(b, "[[wire]]\nkind = \"bridge\"\nbus = %s\naddress = %#x\n", quoted(on.Bus), on.Address)
	case on.Root != "":
		fmt.Fprintf(b, "[[wire]]\nkind = \"kernel\"\nroot = %s\n", quoted(on.Root))
	default:
		b.WriteString(starterBridge)
	}
}

// quoted writes s as a TOML basic string. JSON strings are a part of those but
// for DEL, which no path has.
func quoted(s string) string {
	text, _ := json.Marshal(s) // a string always marshals
	return string(text)
}

func starterProbe(b *strings.Builder, comment, key string, s sensors.Sample, remark string) {
	fmt.Fprintf(b, "%s%-10s = %q  # %s; read %.2f °C\n", comment, key, s.Address.String(), remark, s.Reading.Celsius())
}

const starterPlace = `# A site file: what bainward knows of your workshop. Change what is marked
# CHANGE, then look at it with: bainward check-site THIS-FILE
# A key after a # is not set; take the # away to set it.

[site]
name = "My workshop"            # CHANGE: what people call it
elevation_m = 0                 # CHANGE: metres above sea level; water boils cooler higher up
units = "metric"                # or "us": how pages and messages write quantities
# time_zone = "Europe/Dublin"   # of your clocks: days and times of pages, sheets and labels; else UTC
# listen = "127.0.0.1:8470"     # where the pages are served; this is: only to this machine
# record = "bainward-record"    # folder in which the record is kept

# [barometer]                   # if you have one; else the elevation stands in for it
# bus = "1"                     # the I²C bus it is on
# address = 0x76

# [broker]                      # if readings and alarms should be published (MQTT)
# url = "mqtt://127.0.0.1:1883" # a broker that runs already, or instead:
# embedded = "127.0.0.1:1883"   # serve one here

# Who is called when nobody looks at the page; without this nobody is:
# [phone]
# address = "https://..."       # how phones reach the pages, for the links in messages
# [[channel]]
# name = "mail"
# kind = "mail"                 # or push, service, webhook, pin
# host = "mail.example"
# user = "bainward"
# password_file = "/etc/bainward/mail.password" # passwords never stand in this file
# from = "bainward@mail.example"
# to = ["robin@mail.example"]
# [[contact]]
# name = "Robin"
# channels = ["mail"]

# How the probes are reached; without a [[wire]] it is the computer's own pin.
`

const starterBridge = `# [[wire]]
# kind = "bridge"               # a DS248x chip on the I²C bus
# bus = "1"
# address = 0x18
`

const starterRig = `
[[bath]]
name = "first"                  # CHANGE: letters, digits, - and _
pan_inside_diameter_mm = 250    # CHANGE: measure the pan inside
dish_outside_diameter_mm = 205  # CHANGE: measure the dish outside, at the water
dish_base_height_mm = 30        # CHANGE: from the pan floor to the base of the dish
# wets_base_g = 1430            # better than the ruler: weigh the cold water that just wets the base
# pan_depth_mm = 120            # these four, measured inside and weighed empty, let "bainward
# dish_depth_mm = 65            # plan" say whether the pan overflows, the dish floats or is
# dish_kg = 1.2                 # too full, and when the water boils
# hob_w = 900                   # heat that gets into the water at full
# Which probe is which is a guess. Warm one in your hand, run "bainward probes"
# again, see whose reading rose, and correct the lines below.
`

const starterRecipe = `
# A probe that hangs where the bottles stand; the shelf then says how warm it was:
# [[place]]
# name = "fridge"               # or "cool", or "room"
# probe = "28-..."

# A probe that was put into melting ice and into boiling water reads better:
# [[probe]]
# address = "28-..."
# calibrated_on = 2026-02-14    # the day
# ice_reads_c = 0.31            # what it read in the ice
# boil_reads_c = 99.19          # what it read in the boiling water
# boil_pressure_hpa = 955       # air pressure then and there, not reduced to sea level
# uncertainty_c = 0.2           # how well that is known

[[recipe]]
name = "plain"                  # CHANGE: one [[recipe]] for each oil you make
# herb = "Plantago lanceolata, leaf"
# fresh = true                  # fresh herb brings water along; dried does not
# herb_g = 220
# oil = "sunflower"
# oil_ml = 800                  # or better, weighed: oil_g = 735
hold_min = 120                  # how long the oil is held warm, minutes
macerations = 1                 # how often fresh herb goes into the same oil
# floor_below_boiling_c = 15    # the hold counts from so far below the boiling point, or instead:
# floor_c = 80                  # from this temperature
# oil_ceiling_c = 98            # too hot above this; else above the boiling point
`

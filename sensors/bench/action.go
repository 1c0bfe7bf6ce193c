package bench

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bainward/sensors"
)

// parseAction reads what follows the offset.
func parseAction(text string) (action, error) {
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	switch word {
	case "":
		return action{}, errors.New("nothing follows the offset")
	case "do":
		do, err := parseEvents(rest, true)
		return action{do: do}, err
	case "say":
		_, err := parseEvents(rest, false)
		return action{said: rest, do: nothing}, err
	case "probe":
		return parseProbe(rest)
	}
	if parse, found := handWords[word]; found {
		do, err := parse(rest)
		if err != nil {
			return action{}, fmt.Errorf("%s: %w", word, err)
		}
		return action{do: do}, nil
	}
	do, err := parseEvents(text, true)
	return action{said: text, do: do}, err
}

func nothing(*bath) {}

// handWords are the actions that nobody enters in a record.
var handWords = map[string]func(rest string) (func(*bath), error){
	"pour":      amount(func(b *bath, kg float64) { b.pan.Pour(kg) }),
	"ladle":     amount(func(b *bath, kg float64) { b.pan.Ladle(kg) }),
	"hob":       parseHob,
	"lid":       choice(map[string]func(*bath){"on": lid(1), "half": lid(0.5), "off": lid(0)}),
	"draught":   measure("m/s", 0, 20, func(b *bath, v float64) { b.pan.SetDraught(v) }),
	"dish":      choice(map[string]func(*bath){"stand": dishTo(OnStand), "floor": dishTo(OnFloor), "out": dishTo(Out)}),
	"tap":       measure("C", 0, 100, func(b *bath, v float64) { b.pan.rig.Pan.TapC = v }),
	"room":      measure("C", -20, 60, func(b *bath, v float64) { b.pan.SetRoom(v) }),
	"pressure":  measure("hPa", 400, 1100, func(b *bath, v float64) { b.pan.SetPressure(v * 100) }),
	"elevation": measure("m", -500, 5000, func(b *bath, v float64) { b.pan.SetPressure(PressureAt(v)) }),
	"probes":    choice(map[string]func(*bath){"swapped": swap(true), "sorted": swap(false)}),
}

func lid(share float64) func(*bath) { return func(b *bath) { b.pan.SetLid(share) } }
func dishTo(to Place) func(*bath)   { return func(b *bath) { b.pan.PlaceDish(to) } }
func swap(is bool) func(*bath)      { return func(b *bath) { b.swapped = is } }

func parseHob(rest string) (func(*bath), error) {
	switch rest {
	case "full":
		return func(b *bath) { b.pan.SetHob(b.pan.rig.Hob.Power) }, nil
	case "simmer":
		return func(b *bath) { b.pan.SetHob(b.pan.rig.Hob.Simmer) }, nil
	case "off":
		return func(b *bath) { b.pan.SetHob(0) }, nil
	}
	do, err := measure("W", 0, 10000, func(b *bath, v float64) { b.pan.SetHob(v) })(rest)
	if err != nil {
		return nil, fmt.Errorf("want full, simmer, off or a power: %w", err)
	}
	return do, nil
}

// choice reads one of several words.
func choice(of map[string]func(*bath)) func(string) (func(*bath), error) {
	return func(rest string) (func(*bath), error) {
		if do, found := of[rest]; found {
			return do, nil
		}
		return nil, fmt.Errorf("unknown word %q", rest)
	}
}

// measure reads a number with its unit.
func measure(unit string, lo, hi float64, do func(*bath, float64)) func(string) (func(*bath), error) {
	return func(rest string) (func(*bath), error) {
		number, found := strings.CutSuffix(rest, " "+unit)
		v, err := strconv.ParseFloat(number, 64)
		if !found || err != nil || !(v >= lo && v <= hi) {
			return nil, fmt.Errorf("%q: want a number from %g to %g and the unit %s", rest, lo, hi, unit)
		}
		return func(b *bath) { do(b, v) }, nil
	}
}

// amount reads a quantity of water.
func amount(do func(*bath, float64)) func(string) (func(*bath), error) {
	return func(rest string) (func(*bath), error) {
		kg, err := parseQuantity(rest)
		if err != nil {
			return nil, err
		}
		return func(b *bath) { do(b, kg) }, nil
	}
}

// ProbeFault is what becomes of a probe on the wire; NoFault ends it.
type ProbeFault struct {
	Role  sensors.Role
	Fault sensors.Fault
}

// parseProbe reads "ROLE SPOT", "ROLE off N K", "ROLE FAULT" or "ROLE ok".
func parseProbe(rest string) (action, error) {
	name, what, _ := strings.Cut(rest, " ")
	role, err := parseRole(name)
	if err != nil {
		return action{}, err
	}
	what = strings.TrimSpace(what)
	if place, found := spots[what]; found {
		return action{do: moveProbe(role, place, 0)}, nil
	}
	if height, found := strings.CutPrefix(what, "hanging "); found {
		do, err := measure("mm", 0, 500, func(b *bath, mm float64) { moveProbe(role, Hanging, mm)(b) })(height)
		return action{do: do}, err
	}
	if off, found := strings.CutPrefix(what, "off "); found {
		do, err := measure("K", -10, 10, func(b *bath, k float64) { driftProbe(role, k)(b) })(off)
		return action{do: do}, err
	}
	fault, err := parseFault(what)
	if err != nil {
		return action{}, fmt.Errorf("probe %s: %w", name, err)
	}
	return action{
		fault: &ProbeFault{role, fault},
		do:    func(b *bath) { b.setFault(role, fault) },
	}, nil
}

var spots = map[string]Spot{"floor": Lying, "oil": InOil, "room": InRoom}

// moveProbe puts the chip that is wired as role somewhere else.
func moveProbe(role sensors.Role, to Spot, height float64) func(*bath) {
	return func(b *bath) {
		s := &b.probe(role).spec
		s.Place, s.Height = to, height
	}
}

// driftProbe lets the chip that is wired as role read k kelvin more than it did.
func driftProbe(role sensors.Role, k float64) func(*bath) {
	return func(b *bath) {
		s := &b.probe(role).spec
		s.ErrorAt0, s.ErrorAt100 = s.ErrorAt0+k, s.ErrorAt100+k
	}
}

func parseRole(name string) (sensors.Role, error) {
	for role := range sensors.RoleCount {
		if role.String() == name {
			return role, nil
		}
	}
	return 0, fmt.Errorf("unknown probe %q: want oil, bath or room", name)
}

func parseFault(code string) (sensors.Fault, error) {
	if code == "ok" {
		return sensors.NoFault, nil
	}
	for f := sensors.NotFitted; f <= sensors.Jumped; f++ {
		if f.Code() == code {
			return f, nil
		}
	}
	return 0, fmt.Errorf("unknown spot or fault %q: want floor, oil, room, hanging N mm, off N K, ok or a fault such as absent, crc, power-on or stuck", code)
}

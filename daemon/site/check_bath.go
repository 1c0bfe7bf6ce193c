package site

import "bainward/sensors"

// The range of pans and dishes that stand on a hob, in mm. Outside it someone
// has written cm, inches or another key's number.
const (
	minPan, maxPan   = 80, 1000
	minDish, maxDish = 40, 990
	minBase, maxBase = 1, 300
)

func (c *checker) baths(tables []bathTable, wires []Wire, roles assigned) []Bath {
	if len(tables) == 0 {
		c.addf("", "no [[bath]]: a site has at least one")
	}
	seen := map[string]int{}
	baths := make([]Bath, 0, len(tables))
	for i, t := range tables {
		path := element("bath", i)
		b := Bath{Name: c.name(path, t.Name, "what people call this bath", seen), Wire: t.Wire}
		c.rig(path, t, &b)
		c.bathProbes(path, t, &b, roles)
		c.bathWire(path, t.Wire, wires)
		baths = append(baths, b)
	}
	return baths
}

func (c *checker) rig(path string, t bathTable, b *Bath) {
	b.Rig.PanInsideDiameter = c.number(path, "pan_inside_diameter_mm", t.PanInsideDiameter, minPan, maxPan,
		"the width of the pan inside, in mm")
	b.Rig.DishOutsideDiameter = c.number(path, "dish_outside_diameter_mm", t.DishOutsideDiameter, minDish, maxDish,
		"the width of the dish outside, in mm")
	b.Rig.DishBaseHeight = c.number(path, "dish_base_height_mm", t.DishBaseHeight, minBase, maxBase,
		"how far the base of the dish stands above the pan floor, in mm; it must not stand on it")
	pan, dish := path+".pan_inside_diameter_mm", path+".dish_outside_diameter_mm"
	if c.given(pan) && c.given(dish) && t.DishOutsideDiameter >= t.PanInsideDiameter {
		c.addf(dish, "dish_outside_diameter_mm = %s must be smaller than pan_inside_diameter_mm = %s",
			plain(t.DishOutsideDiameter), plain(t.PanInsideDiameter))
	}
	b.Rig.WetsBaseG = c.wetsBase(path, t)
	b.Vessels = c.vessels(path, t)
}

// assigned remembers what each probe is used for.
type assigned map[sensors.Address]assignment

type assignment struct {
	role sensors.Role
	path string
}

func (c *checker) bathProbes(path string, t bathTable, b *Bath, roles assigned) {
	for role, written := range [...]string{sensors.Oil: t.OilProbe, sensors.Bath: t.BathProbe, sensors.Room: t.RoomProbe} {
		role := sensors.Role(role)
		key := role.String() + "_probe"
		if !c.given(join(path, key)) {
			if role != sensors.Room {
				c.addf(path, "%s is missing: the address of the probe in the %s; bainward probes lists those that answer", key, role)
			}
			continue
		}
		address, ok := c.address(path, key, written)
		if !ok {
			continue
		}
		b.Probes[role] = address
		before, taken := roles[address]
		switch {
		case !taken:
			roles[address] = assignment{role, join(path, key)}
		case role != sensors.Room || before.role != sensors.Room: // one room may hold several baths
			c.addf(join(path, key), "%s = %q is already %s of %s on line %d: a probe has one place",
				key, written, lastKey(before.path), c.outline.tableOf(before.path), c.outline.line(before.path))
		}
	}
}

func (c *checker) address(path, key, written string) (sensors.Address, bool) {
	address, err := sensors.ParseAddress(written)
	if err != nil {
		c.addf(join(path, key), "%s = %q must be two hex digits, a dash and twelve hex digits, such as \"28-00000bbb9b13\"", key, written)
		return 0, false
	}
	switch address.Family() {
	case sensors.FamilyDS18B20, sensors.FamilyDS1822, sensors.FamilyDS1825:
		return address, true
	}
	c.addf(join(path, key), "%s = %q is not a thermometer that is read here: the address must begin with 28, 22 or 3b", key, written)
	return 0, false
}

func (c *checker) bathWire(path, name string, wires []Wire) {
	if !c.given(path + ".wire") {
		return
	}
	names := make([]string, 0, len(wires))
	for _, w := range wires {
		if w.Name == name && name != "" {
			return
		}
		if w.Name != "" {
			names = append(names, w.Name)
		}
	}
	c.addf(path+".wire", "wire = %q is no [[wire]]; %s", name, listed("named", names))
}

package bench

import "bainward/sensors"

// What hands can do to a bath. All of it happens at the present instant except
// Pour, which takes as long as the water takes to run.

// Pour adds kg of tap water.
func (p *Pan) Pour(kg float64) { p.pouring += max(0, kg) }

// Ladle takes kg of water out.
func (p *Pan) Ladle(kg float64) { p.takeWater(max(0, kg)) }

// SetHob sets what the hob draws on average, in W, up to its full power.
func (p *Pan) SetHob(watt float64) { p.hob.set = min(max(0, watt), p.rig.Hob.Power) }

// SetLid covers a share of the pan: 0 open, 0.5 half on, 1 closed.
func (p *Pan) SetLid(share float64) { p.lid = min(max(0, share), 1) }

// SetDraught sets the speed of the air over the bath, m/s.
func (p *Pan) SetDraught(speed float64) { p.draught = max(0, speed) }

// SetPressure sets the air pressure in Pa; the rig's drift goes on from there.
func (p *Pan) SetPressure(pa float64) {
	p.paAt0 = pa - p.rig.Air.PressureDrift*p.at.Hours()
	p.weather()
}

// SetRoom sets the room's temperature in °C; the rig's drift goes on from there.
func (p *Pan) SetRoom(c float64) {
	p.roomAt0 = c - p.rig.Air.RoomDrift*p.at.Hours()
	p.weather()
}

// PlaceDish moves the dish.
func (p *Pan) PlaceDish(to Place) { p.dish.place = to }

// Charge puts the dish on its stand with kg of herb (0: as much as the rig
// says) and with oil, all as warm as the room. Oil that is there already stays.
func (p *Pan) Charge(kg float64) {
	d := &p.dish
	if kg <= 0 {
		kg = d.herb.Kg
	}
	p.changeDish(func() {
		before := d.enthalpy(p.temp[oil])
		fresh := dish{spec: d.spec, herb: d.herb, dry: kg * (1 - d.herb.Water), moisture: kg * d.herb.Water}
		if d.empty() {
			fresh.oil = d.spec.OilKg
		}
		p.ledger.herbWater += fresh.moisture
		total := before + fresh.enthalpy(p.roomC) - emptyHeat*p.roomC
		d.oil += fresh.oil
		d.dry += fresh.dry
		d.moisture += fresh.moisture
		d.brought = d.moisture
		p.temp[oil] = d.warmth(total)
	})
	p.PlaceDish(OnStand)
}

// Strain lifts the dish out and takes the herb away, with the oil it keeps and
// the water it still holds.
func (p *Pan) Strain() {
	d := &p.dish
	p.changeDish(func() {
		d.oil = max(0, d.oil-d.dry*d.herb.Keeps)
		p.ledger.herbTaken += d.moisture
		d.dry, d.moisture, d.bubbling = 0, 0, 0
	})
	p.PlaceDish(Out)
}

// EmptyDish pours the oil off into bottles.
func (p *Pan) EmptyDish() {
	d := &p.dish
	p.changeDish(func() {
		p.ledger.herbTaken += d.moisture
		d.oil, d.dry, d.moisture, d.bubbling = 0, 0, 0, 0
	})
	p.PlaceDish(Out)
}

// changeDish books what a change of the dish's contents brings or takes.
func (p *Pan) changeDish(change func()) {
	before := p.dish.enthalpy(p.temp[oil])
	change()
	p.ledger.carried += p.dish.enthalpy(p.temp[oil]) - before
}

// warmth finds the temperature at which the contents hold joule.
func (d *dish) warmth(joule float64) float64 {
	c := 20.0
	for range 30 {
		c += (joule - d.enthalpy(c)) / d.holds(c)
	}
	return c
}

// barometer returns what the pressure sensor reads.
func (p *Pan) barometer() sensors.Pressure {
	if !p.rig.Barometer.Fitted {
		return sensors.Pressure{Fault: sensors.NotFitted}
	}
	return sensors.Pressure{Pascal: int32(p.airPa + p.rig.Barometer.Error)}
}

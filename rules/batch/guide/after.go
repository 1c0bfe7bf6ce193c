package guide

import (
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/cooling"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// done reports whether the last maceration came off the heat.
func (w *writer) done() bool { return w.open && w.off(w.last) }

// settle lets the water sink and pours the oil off it.
func (w *writer) settle() Step {
	s := Step{Key: Settle, Title: "Let the water settle, pour the oil off", Optional: true}
	if all := w.weighed(ledger.Water, w.last); len(all) > 0 {
		s.weighingsDone(all)
		return s
	}
	s.Say = append([]string{"Let it stand half an hour. Water sinks below the oil; pour the oil off it, slowly."}, w.waterLeft()...)
	if !w.done() {
		return s
	}
	s.Cautions = []string{"Water left in oil spoils it and can grow Clostridium botulinum. Pour off every drop."}
	s.Form = w.weighing(ledger.Water, w.last, w.weight("quantity", "Water at the bottom", 0, false), "It is weighed", "how much water settled")
	s.Go = "No water, or not weighed"
	return s
}

// little is as much water as virgin olive oil may hold, a share: 0.2 % (Codex STAN
// 33-1981, from memory).
const little = 0.002

// waterLeft says whether water is likely to have come into the oil.
func (w *writer) waterLeft() []string {
	if !w.done() {
		return nil
	}
	e := w.Trail.herb
	switch {
	case e.HerbGone:
		return []string{"The herb had given up its water before the heat went off: little or none is to be expected. Look all the same."}
	case e.HerbWaterKg.Known() && e.HerbWaterKg.P50 > little:
		return []string{"The herb still held about " + amount.Say(amount.NotBelowZero(e.HerbWaterKg), w.mass) + " of water when the heat went off; some of it came through with the oil."}
	case w.Now.Recipe.Fresh:
		return []string{"The herb was fresh, and how much of its water is left nobody can say. Take it that some came through."}
	}
	return []string{"The herb was dried: little water is to be expected. Look all the same."}
}

// oilOut weighs the oil that came out.
func (w *writer) oilOut() Step {
	s := Step{Key: OilOut, Title: "Weigh the oil", Optional: true}
	if all := w.weighed(ledger.OilOut, w.last); len(all) > 0 {
		s.weighingsDone(all)
		return s
	}
	s.Say = []string{"Weigh the oil without its water. From it follows what stayed in the herb, how strong the oil is, and how many bottles it fills."}
	if w.done() {
		s.Cautions = []string{"It is still hot: set the empty vessel on the scale first, then pour."}
		s.Form = w.weighing(ledger.OilOut, w.last, w.weight("quantity", "Oil that came out", 0, false), "It is weighed", "how much oil came out")
		s.Go = "Not weighed: go on"
	}
	return s
}

// isCool reports whether the oil may be bottled, as far as anybody knows.
func (w *writer) isCool() bool {
	gap, read := w.overRoom()
	return read && gap <= cooling.BottleAboveRoomC && !w.tooSoon()
}

// overRoom is how much warmer than the room the oil is, K; read is false if no
// probe says so. A room that nobody measures is taken as the rule warm-bottling does.
func (w *writer) overRoom() (gap float64, read bool) {
	oil, room := w.Now.Celsius[sensors.Oil], w.Now.Celsius[sensors.Room]
	if math.IsNaN(room) {
		room = rules.DefaultLimits().WarmBottling.RoomC
	}
	return oil - room, !math.IsNaN(oil)
}

// soonestS is the soonest that a dish of oil cools from the boil to the room, s: a
// cup that falls to 1/e in the 8 minutes that package cooling takes as the
// shortest needs three such times and more.
const soonestS = 3 * 480.0

// tooSoon reports whether the probe reads cool oil sooner than oil can cool: it
// does not stand in it any more.
func (w *writer) tooSoon() bool {
	d, ok := w.Trail.find(rules.Strain, w.pass())
	gap, read := w.overRoom()
	return ok && read && gap <= cooling.BottleAboveRoomC && w.Now.Wall.Sub(d.When).Seconds() < soonestS
}

// cool waits until the oil may be bottled.
func (w *writer) cool() Step {
	s := Step{Key: Cool, Title: "Let it cool"}
	if len(w.Account.Bottles) > 0 || w.Now.Phase == rules.Bottled {
		s.doneBy(w.firstFilled().When, "")
		return s
	}
	if w.done() && w.isCool() {
		s.doneBy(time.Time{}, "")
		s.Did = []string{"it is as cool as the room"}
		return s
	}
	s.Say = []string{"Let it stand open, under a cloth, until it is as cool as the room. Warm oil sweats water under the cap."}
	if !w.done() {
		return s
	}
	s.Live = []string{"oil", "room"}
	_, read := w.overRoom()
	switch {
	case !read:
		s.Say = append(s.Say, "No probe reads the oil now, so nobody can say how long: feel the vessel.")
	case w.tooSoon():
		s.Say = append(s.Say, "The probe reads "+w.u.Temp(w.Now.Celsius[sensors.Oil])+", and oil does not cool so fast: is it still in the oil? Feel the vessel.")
	case w.Now.Phase == rules.Straining || !w.CoolsS.Known(): // while it is poured about, nobody can tell
		s.Say = append(s.Say, "How long it takes shows once it has cooled for some minutes. Leave the probe in the oil.")
	default:
		s.Say = append(s.Say, "By the way it cools that is in about "+lasting(w.CoolsS)+".")
	}
	if !read || w.tooSoon() { // else the probe says when
		s.Go = "It is cool: go on"
	}
	return s
}

// strength says how strong the oil is so far.
func (w *writer) strength() []string {
	a := w.Account.Strength
	if !w.open || !w.off(1) {
		return []string{}
	}
	if a.Lacks != "" {
		return a.Lines(w.u)
	}
	say := []string{}
	for i, p := range a.Result.Passes {
		if w.off(i + 1) {
			oneTo := amount.Propagate(func(x []float64) float64 { return 1 / x[0] }, p.PerOil)
			say = append(say, "After maceration "+words(i+1)+": 1 part of dry herb behind "+amount.Say(oneTo, parts)+" parts of oil.")
		}
	}
	if w.done() {
		return append(say, a.Lines(w.u)...)
	}
	return say
}

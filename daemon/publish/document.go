package publish

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// Change is one alarm of one bath going from a state to another.
type Change struct {
	Bath   string
	Wall   time.Time // for people
	Change alarm.Change
	Text   string // what is wrong, with numbers
	Advice string // what to do now
}

// number is a float that is null in JSON when it is not known.
type number float64

func (n number) known() bool { return !math.IsNaN(float64(n)) && !math.IsInf(float64(n), 0) }

func (n number) String() string {
	if !n.known() {
		return ""
	}
	const scale = 10_000 // four decimals keep every step of a DS18B20 (0.0625 °C) whole
	rounded := math.Round(float64(n)*scale) / scale
	return strconv.FormatFloat(rounded+0, 'f', -1, 64) // -0 + 0 is 0
}

func (n number) MarshalJSON() ([]byte, error) {
	if !n.known() {
		return []byte("null"), nil
	}
	return []byte(n.String()), nil
}

type rangeDocument struct {
	P10 number `json:"p10"`
	P50 number `json:"p50"`
	P90 number `json:"p90"`
}

func rangeOf(r balance.Range) rangeDocument {
	return rangeDocument{number(r.P10), number(r.P50), number(r.P90)}
}

// stateDocument is everything known of a bath now.
type stateDocument struct {
	At         string            `json:"at"` // RFC 3339, UTC
	Bath       string            `json:"bath"`
	Batch      string            `json:"batch"`
	Phase      string            `json:"phase"`
	Maceration int               `json:"maceration"`
	Sentence   string            `json:"sentence"`
	OilC       number            `json:"oil_c"`
	BathC      number            `json:"bath_c"`
	RoomC      number            `json:"room_c"`
	Faults     map[string]string `json:"faults"` // by role; empty when all is well
	PressurePa int32             `json:"pressure_pa"`
	Measured   bool              `json:"pressure_measured"`
	BoilingC   number            `json:"boiling_c"`
	FloorC     number            `json:"floor_c"`
	CeilingC   number            `json:"ceiling_c"`
	OilMaxC    number            `json:"oil_max_c"`
	HoldS      int64             `json:"hold_s"`
	HoldAskedS int64             `json:"hold_asked_s"`
	TopUps     int               `json:"top_ups"`
	Verdict    string            `json:"verdict"`
	Estimate   estimateDocument  `json:"estimate"`
	ToFloorS   rangeDocument     `json:"to_floor_s"`
	ToHeldS    rangeDocument     `json:"to_held_s"`
	FloorAt    timesDocument     `json:"floor_at"`
	HeldAt     timesDocument     `json:"held_at"`
	BareAt     timesDocument     `json:"bare_at"`
	Asks       bool              `json:"asks"`     // water was seen going in: how much was it?
	AskedKg    number            `json:"asked_kg"` // about so much; null when nothing is asked
	Alarms     []alarmStanding   `json:"alarms"`   // open ones, the gravest first
}

type estimateDocument struct {
	WaterKg     rangeDocument `json:"water_kg"`
	BoilOffKgH  rangeDocument `json:"boil_off_kg_h"`
	ToBareS     rangeDocument `json:"to_bare_s"`
	ToDryS      rangeDocument `json:"to_dry_s"`
	HerbWaterKg rangeDocument `json:"herb_water_kg"`
	HerbGone    bool          `json:"herb_gone"` // the herb has given up its water
	HeatW       rangeDocument `json:"heat_w"`
	DishWPerK   rangeDocument `json:"dish_w_per_k"`
	BareSoon    number        `json:"bare_soon"` // chance, 0 to 1
}

func estimateOf(e balance.Estimate) estimateDocument {
	return estimateDocument{
		WaterKg: rangeOf(e.WaterKg), BoilOffKgH: rangeOf(e.BoilOffKgH),
		ToBareS: rangeOf(e.ToBareS), ToDryS: rangeOf(e.ToDryS),
		HerbWaterKg: rangeOf(e.HerbWaterKg), HerbGone: e.HerbGone,
		HeatW: rangeOf(e.HeatW), DishWPerK: rangeOf(e.DishWPerK), BareSoon: number(e.BareSoon),
	}
}

type alarmStanding struct {
	Alarm    string `json:"alarm"`
	State    string `json:"state"`
	Priority string `json:"priority"`
	Text     string `json:"text"`
	Advice   string `json:"advice"`
}

// alarmDocument is one change of an alarm, or how it stood when the daemon
// began, in which case From is empty.
type alarmDocument struct {
	At   string `json:"at"`
	Bath string `json:"bath"`
	From string `json:"from,omitempty"`
	alarmStanding
}

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }

func stateOf(s fold.Snapshot) stateDocument {
	d := stateDocument{
		At: stamp(s.Wall), Bath: s.Bath, Batch: s.Batch,
		Phase: s.Phase.String(), Maceration: s.Pass, Sentence: s.Sentence,
		OilC: celsius(s, sensors.Oil), BathC: celsius(s, sensors.Bath), RoomC: celsius(s, sensors.Room),
		Faults:     map[string]string{},
		PressurePa: s.Pressure, Measured: s.Measured,
		BoilingC: number(s.BoilingC), FloorC: number(s.FloorC), CeilingC: number(s.CeilingC),
		OilMaxC: number(s.OilMaxC),
		HoldS:   int64(s.Hold / time.Second), HoldAskedS: int64(s.HoldAsked / time.Second),
		TopUps: s.TopUps, Verdict: s.Verdict.String(),
		Estimate: estimateOf(s.Estimate), ToFloorS: rangeOf(s.ToFloorS), ToHeldS: rangeOf(s.ToHeldS),
		FloorAt: timesOf(s.Wall, s.ToFloorS), HeldAt: timesOf(s.Wall, s.ToHeldS), BareAt: timesOf(s.Wall, s.Estimate.ToBareS),
		Asks: s.Asks, AskedKg: askedKg(s),
		Alarms: []alarmStanding{},
	}
	for role, fault := range s.Faults {
		if fault != sensors.NoFault && fault != sensors.NotFitted {
			d.Faults[sensors.Role(role).String()] = fault.Code()
		}
	}
	for _, id := range s.Open() {
		d.Alarms = append(d.Alarms, standingOf(id, s.Alarms[id]))
	}
	return d
}

// askedKg is about how much was seen going in, while that is asked.
func askedKg(s fold.Snapshot) number {
	if !s.Asks {
		return number(math.NaN())
	}
	return number(s.AskedKg)
}

// celsius is the trusted temperature of a role: a number beside a fault is none.
func celsius(s fold.Snapshot, role sensors.Role) number {
	if s.Faults[role] != sensors.NoFault {
		return number(math.NaN())
	}
	return number(s.Celsius[role])
}

func standingOf(id rules.ID, a fold.Standing) alarmStanding {
	return alarmStanding{id.String(), a.State.String(), a.Priority.String(), a.Text, a.Advice}
}

func changeOf(c Change) alarmDocument {
	return alarmDocument{
		At: stamp(c.Wall), Bath: c.Bath, From: c.Change.From.String(),
		alarmStanding: alarmStanding{
			c.Change.Alarm.String(), c.Change.To.String(), c.Change.Priority.String(), c.Text, c.Advice,
		},
	}
}

// plainOf lists the plain topics of a bath in a fixed order.
func plainOf(s fold.Snapshot) []message {
	return []message{
		{topic: "phase", payload: []byte(s.Phase.String())},
		{topic: "oil_c", payload: []byte(celsius(s, sensors.Oil).String())},
		{topic: "bath_c", payload: []byte(celsius(s, sensors.Bath).String())},
		{topic: "room_c", payload: []byte(celsius(s, sensors.Room).String())},
		{topic: "boiling_c", payload: []byte(number(s.BoilingC).String())},
		{topic: "hold_s", payload: strconv.AppendInt(nil, int64(s.Hold/time.Second), 10)},
		{topic: "to_floor_s", payload: []byte(number(s.ToFloorS.P50).String())},
		{topic: "to_held_s", payload: []byte(number(s.ToHeldS.P50).String())},
		{topic: "to_bare_s", payload: []byte(number(s.Estimate.ToBareS.P50).String())},
		{topic: "water_kg", payload: []byte(number(s.Estimate.WaterKg.P50).String())},
	}
}

// encode writes one of the documents above; they hold nothing that JSON has no
// word for, so a failure is a mistake in this file and is published as such.
func encode(document any) []byte {
	text, err := json.Marshal(document)
	if err != nil {
		return fmt.Appendf(nil, `{"error":%q}`, err.Error())
	}
	return text
}

package web

import (
	"encoding/json"
	"math"
	"time"

	"bainward/dashboards"
	"bainward/rules/balance"
	"bainward/rules/fold"
	"bainward/sensors"
)

// number is a float that is null in JSON when it is not known.
type number float64

// MarshalJSON writes at most three decimals: more would claim what no probe has.
func (n number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(math.Round(v*1000) / 1000)
}

type rangeJSON struct {
	P10 number `json:"p10"`
	P50 number `json:"p50"`
	P90 number `json:"p90"`
}

func rangeOf(r balance.Range) rangeJSON {
	return rangeJSON{number(r.P10), number(r.P50), number(r.P90)}
}

type estimateJSON struct {
	WaterKg     rangeJSON `json:"water_kg"`
	BoilOffKgH  rangeJSON `json:"boil_off_kg_h"`
	ToBareS     rangeJSON `json:"to_bare_s"`
	ToDryS      rangeJSON `json:"to_dry_s"`
	HerbWaterKg rangeJSON `json:"herb_water_kg"`
	HerbGone    bool      `json:"herb_gone"`
	HeatW       rangeJSON `json:"heat_w"`
	DishWPerK   rangeJSON `json:"dish_w_per_k"`
	BareSoon    number    `json:"bare_soon"`
}

func estimateOf(e balance.Estimate) estimateJSON {
	return estimateJSON{
		WaterKg: rangeOf(e.WaterKg), BoilOffKgH: rangeOf(e.BoilOffKgH), ToBareS: rangeOf(e.ToBareS), ToDryS: rangeOf(e.ToDryS),
		HerbWaterKg: rangeOf(e.HerbWaterKg), HerbGone: e.HerbGone,
		HeatW: rangeOf(e.HeatW), DishWPerK: rangeOf(e.DishWPerK), BareSoon: number(e.BareSoon),
	}
}

type alarmJSON struct {
	dashboards.AlarmWords
	SinceS number `json:"since_s"`
}

// bathJSON is one bath as programs and open pages read it; API.md describes it.
type bathJSON struct {
	Bath             string            `json:"bath"`
	Batch            string            `json:"batch"`
	AtS              number            `json:"at_s"`
	Wall             time.Time         `json:"wall"`
	AgeS             number            `json:"age_s"`
	Phase            string            `json:"phase"`
	PhaseForS        number            `json:"phase_for_s"`
	Over             bool              `json:"over"`
	Maceration       int               `json:"maceration"`
	Sentence         string            `json:"sentence"`
	Recipe           string            `json:"recipe"`
	OilC             number            `json:"oil_c"`
	BathC            number            `json:"bath_c"`
	RoomC            number            `json:"room_c"`
	Faults           map[string]string `json:"faults"`
	PressurePa       int32             `json:"pressure_pa"`
	PressureMeasured bool              `json:"pressure_measured"`
	BoilingC         number            `json:"boiling_c"`
	FloorC           number            `json:"floor_c"`
	CeilingC         number            `json:"ceiling_c"`
	HoldS            number            `json:"hold_s"`
	HoldAskedS       number            `json:"hold_asked_s"`
	HoldPart         number            `json:"hold_part"`
	OilMaxC          number            `json:"oil_max_c"`
	TopUps           int               `json:"top_ups"`
	Verdict          string            `json:"verdict"`
	Estimate         estimateJSON      `json:"estimate"`
	ToFloorS         rangeJSON         `json:"to_floor_s"`
	ToHeldS          rangeJSON         `json:"to_held_s"`
	Asks             bool              `json:"asks"`
	AskedKg          number            `json:"asked_kg"`
	BareKg           number            `json:"bare_kg"`
	Alarms           []alarmJSON       `json:"alarms"`
	Next             []string          `json:"next"`
	Deeds            []string          `json:"deeds"`
	Words            dashboards.Words  `json:"words"`

	Ahead    []dashboards.Figure `json:"ahead"`
	Reckoned []dashboards.Figure `json:"reckoned"`

	Cutout *cutoutJSON `json:"cutout"` // null: the bath has none
}

func bathOf(s fold.Snapshot, age time.Duration) bathJSON {
	b := bathJSON{
		Bath: s.Bath, Batch: s.Batch, AtS: number(s.At.Seconds()), Wall: s.Wall.UTC(), AgeS: number(age.Seconds()),
		Phase: s.Phase.String(), PhaseForS: number(s.PhaseFor.Seconds()), Over: s.Phase.Over(), Maceration: s.Pass,
		Sentence: s.Sentence, Recipe: s.Recipe.Name,
		OilC: number(s.Celsius[sensors.Oil]), BathC: number(s.Celsius[sensors.Bath]), RoomC: number(s.Celsius[sensors.Room]),
		Faults: faultsOf(s), PressurePa: s.Pressure, PressureMeasured: s.Measured,
		BoilingC: number(s.BoilingC), FloorC: number(s.FloorC), CeilingC: number(s.CeilingC),
		HoldS: number(s.Hold.Seconds()), HoldAskedS: number(s.HoldAsked.Seconds()), HoldPart: number(dashboards.HoldPart(s)),
		OilMaxC: number(s.OilMaxC), TopUps: s.TopUps, Verdict: s.Verdict.String(),
		Estimate: estimateOf(s.Estimate), ToFloorS: rangeOf(s.ToFloorS), ToHeldS: rangeOf(s.ToHeldS),
		Asks: s.Asks, AskedKg: number(math.NaN()),
		BareKg: number(s.BareKg), Alarms: alarmsOf(s), Next: []string{}, Words: dashboards.Describe(s),
		Ahead: dashboards.Ahead(s), Reckoned: dashboards.Reckoned(s),
	}
	if s.Asks {
		b.AskedKg = number(s.AskedKg)
	}
	for _, d := range dashboards.Deeds(s.Next, s.Units) {
		b.Deeds = append(b.Deeds, d.Event)
		if d.Now {
			b.Next = append(b.Next, d.Event)
		}
	}
	return b
}

func alarmsOf(s fold.Snapshot) []alarmJSON {
	var out []alarmJSON
	for _, a := range dashboards.Alarms(s) {
		out = append(out, alarmJSON{a, number(a.For.Seconds())})
	}
	return out
}

func faultsOf(s fold.Snapshot) map[string]string {
	faults := make(map[string]string)
	for role := range sensors.RoleCount {
		if f := s.Faults[role]; f != sensors.NoFault {
			faults[role.String()] = f.Code()
		}
	}
	return faults
}

package fold

import (
	"encoding/json"
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
)

// The kinds of Line.
const (
	AlarmLine    = "alarm"
	PhaseLine    = "phase"
	EstimateLine = "estimate"
	SummaryLine  = "summary"
	SeenLine     = "seen" // something that nobody entered
)

// Line is one thing that a replay says, as a program reads it: one JSON
// object. Which fields are there depends on Kind.
type Line struct {
	At   time.Time `json:"at"`
	Bath string    `json:"bath"`
	Kind string    `json:"kind"`

	Alarm    string `json:"alarm,omitempty"`
	State    string `json:"state,omitempty"`
	Priority string `json:"priority,omitempty"`
	Text     string `json:"text,omitempty"`

	Phase string `json:"phase,omitempty"`

	WaterKg     *Spread `json:"water_kg,omitempty"`
	ToBareS     *Spread `json:"to_bare_s,omitempty"`
	ToDryS      *Spread `json:"to_dry_s,omitempty"`
	BoilOffKgH  *Spread `json:"boil_off_kg_h,omitempty"`
	HerbWaterKg *Spread `json:"herb_water_kg,omitempty"`

	HeatW     *Spread `json:"heat_w,omitempty"`
	DishWPerK *Spread `json:"dish_w_per_k,omitempty"`
	HerbGone  bool    `json:"herb_gone,omitempty"` // the herb has given up its water
	FloorAt   *Clock  `json:"floor_at,omitempty"`  // when the oil reaches its floor
	HeldAt    *Clock  `json:"held_at,omitempty"`   // when the hold is done

	Event string  `json:"event,omitempty"` // what was seen
	Kg    float64 `json:"kg,omitempty"`    // about how much

	HoldS   *int64   `json:"hold_s,omitempty"`
	OilMaxC *float64 `json:"oil_max_c,omitempty"`
	TopUps  *int     `json:"top_ups,omitempty"`
	Verdict string   `json:"verdict,omitempty"`
}

// Spread is an estimate with its one-in-ten ends.
type Spread struct {
	P10 float64 `json:"p10"`
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

// Clock is an instant ahead with its one-in-ten ends.
type Clock struct {
	P10 time.Time `json:"p10"`
	P50 time.Time `json:"p50"`
	P90 time.Time `json:"p90"`
}

// clockOf returns the instants r seconds after now, or nil if nothing is known
// or it is so already.
func clockOf(now time.Time, r balance.Range) *Clock {
	if !r.Known() || r.P50 == 0 || r.P50 >= 86400 {
		return nil
	}
	in := func(s float64) time.Time { return now.Add(time.Duration(s) * time.Second) }
	return &Clock{in(r.P10), in(r.P50), in(r.P90)}
}

// spreadOf rounds a range to the given share of one; nil if nothing is known.
func spreadOf(r balance.Range, per float64) *Spread {
	if !r.Known() {
		return nil
	}
	round := func(x float64) float64 { return math.Floor(float64(x*per)+0.5) / per }
	return &Spread{round(r.P10), round(r.P50), round(r.P90)}
}

// JSON returns the line as one JSON object without a newline.
func (l Line) JSON() []byte {
	b, err := json.Marshal(l)
	if err != nil { // cannot be: every number is finite
		panic("bainward: a replay line that JSON cannot hold: " + err.Error())
	}
	return b
}

func estimateLine(at time.Time, cfg *rules.Config, s *rules.State) Line {
	e := s.Estimate()
	floor, held := s.Ahead(cfg)
	hold := int64(s.Hold() / time.Second)
	return Line{
		At: at, Bath: cfg.Bath, Kind: EstimateLine,
		HeatW: spreadOf(e.HeatW, 1), DishWPerK: spreadOf(e.DishWPerK, 100), HerbGone: e.HerbGone,
		FloorAt: clockOf(at, floor), HeldAt: clockOf(at, held),
		WaterKg: spreadOf(e.WaterKg, 1000), ToBareS: spreadOf(e.ToBareS, 1), ToDryS: spreadOf(e.ToDryS, 1),
		BoilOffKgH: spreadOf(e.BoilOffKgH, 1000), HerbWaterKg: spreadOf(e.HerbWaterKg, 1000), HoldS: &hold,
	}
}

// seenLine tells of water that nobody entered, and asks for it.
func seenLine(at time.Time, cfg *rules.Config, kg float64) Line {
	kg = math.Floor(float64(kg*20)+0.5) / 20
	return Line{
		At: at, Bath: cfg.Bath, Kind: SeenLine, Event: rules.TopUp.String(), Kg: kg,
		Text: "Water went in that nobody entered, about " + cfg.Units.Water(kg) + ". Press top-up and say how much it was.",
	}
}

func summaryLine(at time.Time, bath string, s *rules.State) Line {
	hold, tops := int64(s.HoldOfBatch()/time.Second), s.TopUps()
	l := Line{At: at, Bath: bath, Kind: SummaryLine, HoldS: &hold, TopUps: &tops, Verdict: s.Verdict().String()}
	if c, ok := s.OilMax(); ok {
		c = math.Floor(float64(c*10)+0.5) / 10
		l.OilMaxC = &c
	}
	return l
}

package verify

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/sensors"
)

// nine is the time of day at offset zero.
var nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// book is what a yard writes its record into.
type book interface {
	Append(entries []record.Entry) []record.Entry
}

// yard is a small daemon: baths, the rules, and a record of what they say. It
// writes down what daemon/app writes, in that order, with none of its code.
type yard struct {
	t     testing.TB
	book  book
	at    time.Duration
	ahead time.Duration // by which the time of day is off
	baths []*pot
	draft []record.Entry
	last  []record.Entry // what was written last, with its numbers
	// chance makes polls late and probes noisy; nil: they are as even as can be.
	chance *rand.Rand
}

type pot struct {
	name  string
	cfg   *rules.Config
	state fold.Bath
	batch string
	count int
	past  []fold.Past
	seqs  []int64
	lit   time.Duration // offset at which it was lit, negative: it is not
}

func newYard(t testing.TB, b book, names ...string) *yard {
	y := &yard{t: t, book: b}
	for _, name := range names {
		cfg := &rules.Config{
			Bath: name, Elevation: 120, Limits: rules.DefaultLimits(),
			Rig:    rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
			Recipe: rules.Recipe{Name: "ribwort", Fresh: true, HerbG: 220, Oil: "sunflower", OilML: 800, Hold: 30 * time.Minute}.Complete(),
		}
		cfg.Probes[sensors.Oil].Fitted, cfg.Probes[sensors.Bath].Fitted = true, true
		y.baths = append(y.baths, &pot{name: name, cfg: cfg, lit: -1})
	}
	return y
}

// start is the daemon coming up for the first time.
func (y *yard) start(version string) {
	y.restart(version)
	for _, p := range y.baths {
		y.add(p.name, record.Config{Config: *p.cfg})
	}
	y.write()
}

func (y *yard) restart(version string) {
	y.add("", record.Restart{Boot: "boot", GapKnown: true, Version: version, Uptime: y.at})
	for _, p := range y.baths {
		if p.batch == "" {
			p.state = fold.Bath{}
		}
		y.step(p, rules.Input{Kind: rules.RestartInput, At: y.at, GapKnown: true}, func() {})
	}
}

func (y *yard) wall() time.Time { return nine.Add(y.at + y.ahead) }

func (y *yard) add(bath string, b record.Body) {
	y.t.Helper()
	e, err := record.Of(y.at, y.wall(), bath, b)
	if err != nil {
		y.t.Fatal(err)
	}
	y.draft = append(y.draft, e)
}

// raw adds an entry whose body the record makes, or of a kind that is not known.
func (y *yard) raw(bath string, kind record.Kind, body string) {
	y.draft = append(y.draft, record.Entry{At: y.at, Wall: y.wall(), Bath: bath, Kind: kind, Body: []byte(body)})
}

// write puts what was drafted into the book, and each input into its batch.
func (y *yard) write() {
	y.last = y.book.Append(y.draft)
	y.draft = y.draft[:0]
	for _, e := range y.last {
		for _, p := range y.baths {
			if in, ok, err := e.Input(); err == nil && ok && (e.Bath == p.name || e.Bath == "") && p.batch != "" {
				p.past, p.seqs = append(p.past, fold.Past{Config: p.cfg, Input: in}), append(p.seqs, e.Seq)
			}
		}
	}
}

func (y *yard) follow(p *pot, told *fold.Told) {
	if told.Before != told.After {
		y.add(p.name, record.PhaseOf(told.After, p.state.Rules.Pass()))
	}
	for _, id := range told.Moved() {
		y.add(p.name, record.FindingOf(id, told.Found[id]))
	}
	for _, c := range told.Changes.All() {
		y.add(p.name, record.AlarmOf(c))
	}
}

// step is draft.input of daemon/app.
func (y *yard) step(p *pot, in rules.Input, own func()) {
	verdict := p.state.Rules.Verdict()
	var told fold.Told
	p.state.Take(p.cfg, &in, &told)
	if told.Opened {
		y.closes(p, verdict)
		p.count++
		p.batch, p.past, p.seqs = fmt.Sprintf("2026-03-01-%s-%d", p.name, p.count), nil, nil
		y.add(p.name, record.Batch{State: record.Opened, Number: p.batch, Recipe: p.cfg.Recipe.Name})
	}
	own()
	y.follow(p, &told)
	if told.Before.Lit() && !told.After.Lit() {
		learned := *p.cfg
		if learned.Prior = p.state.Rules.Learned(p.cfg); learned != *p.cfg {
			y.add(p.name, record.Config{Config: learned})
			p.cfg = &learned
		}
	}
	if told.Noticed != rules.NoEvent {
		e := rules.Event{Kind: told.Noticed}
		y.step(p, rules.OfEvent(in.At, e), func() { y.add(p.name, record.EventOf(e, "seen, not logged", p.batch)) })
	}
}

func (y *yard) closeBatch(p *pot) { y.closes(p, p.state.Rules.Verdict()) }

func (y *yard) closes(p *pot, v rules.Verdict) {
	if p.batch == "" {
		return
	}
	y.add(p.name, record.Batch{State: record.Closed, Number: p.batch, Recipe: p.cfg.Recipe.Name, Verdict: v.String()})
	p.batch = ""
}

// did enters events, such as "fill 1.8 kg; light".
func (y *yard) did(bath int, events string) {
	y.t.Helper()
	p := y.baths[bath]
	for _, e := range must(rules.ParseEvents(events)) {
		y.step(p, rules.OfEvent(y.at, e), func() { y.add(p.name, record.EventOf(e, "Robin", p.batch)) })
		switch {
		case e.Kind == rules.Light:
			p.lit = y.at
		case e.Kind == rules.Strain || e.Kind == rules.Abandon:
			p.lit = -1
		}
	}
	y.write()
}

// does acts on an alarm.
func (y *yard) does(bath int, c alarm.Command) {
	y.t.Helper()
	p := y.baths[bath]
	next, told, err := p.state.Do(y.at, c)
	if err != nil {
		y.t.Fatal(err)
	}
	y.add(p.name, record.CommandOf(c, "Robin"))
	p.state = next
	y.follow(p, &told)
	y.write()
}

// takesBack voids an event of the open batch.
func (y *yard) takesBack(bath int, seq int64) {
	y.t.Helper()
	p := y.baths[bath]
	for i := range p.seqs {
		if p.seqs[i] == seq {
			p.past, p.seqs = append(p.past[:i:i], p.past[i+1:]...), append(p.seqs[:i:i], p.seqs[i+1:]...)
			break
		}
	}
	y.add(p.name, record.Correction{Voids: seq, Reason: "a slip", By: "Robin"})
	var told fold.Told
	p.state, told = p.state.Refold(p.past, y.at)
	y.follow(p, &told)
	y.write()
}

// poll reads all probes once, every so often, for so long.
func (y *yard) poll(every, long time.Duration) {
	for ; long > 0; long -= every {
		y.at += every
		if y.chance != nil { // by some milliseconds
			y.at = y.at.Truncate(every) + time.Duration(2*y.chance.ExpFloat64())*time.Millisecond
		}
		for _, p := range y.baths {
			f := p.frame(y.at, y.wall(), y.chance)
			y.step(p, rules.OfFrame(f), func() { y.draft = append(y.draft, record.OfFrame(p.name, f)) })
		}
		y.write()
	}
}

// frame is what the probes of a bath say: it heats in twenty minutes, simmers
// with a little noise, and cools when it is lit no more. Now and then a probe
// fails. With chance the noise is what packs worst: a third of a step of the chip in
// oil, two thirds in water, 1.3 Pa of a barometer (as in daemon/record's weighing).
func (p *pot) frame(at time.Duration, wall time.Time, chance *rand.Rand) sensors.Frame {
	n := int64(at / time.Second)
	oil, bath := 20.0, 20.0
	if p.lit >= 0 {
		m := (at - p.lit).Minutes()
		oil, bath = min(92, 20+4*m), min(99.5, 20+5*m)
	}
	wobble := math.Round(16*(0.1*math.Sin(float64(n)/7)+0.05*math.Sin(float64(n)*1.7))) / 16
	inOil, inBath, air := wobble, wobble, 0.0
	if chance != nil {
		inOil, inBath, air = 0.02*chance.NormFloat64(), 0.04*chance.NormFloat64(), 1.3*chance.NormFloat64()
	}
	f := sensors.Frame{At: at, Wall: wall}
	f.Probes[sensors.Oil] = sensors.AtCelsius(math.Round((oil+inOil)*16) / 16)
	f.Probes[sensors.Bath] = sensors.AtCelsius(math.Round((bath+inBath)*16) / 16)
	f.Probes[sensors.Room] = sensors.Failed(sensors.NotFitted)
	f.Pressure = sensors.Pressure{Pascal: int32(math.Round(100930 + float64(n/97%40) + air))}
	if n%1801 == 1800 {
		f.Probes[sensors.Oil] = sensors.Failed(sensors.BadCRC)
	}
	if n%2777 == 2776 {
		f.Pressure = sensors.Pressure{Fault: sensors.Absent}
	}
	return record.Rounded(f)
}

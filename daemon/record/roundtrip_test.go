package record

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
	"pgregory.net/rapid"
)

func anyFault() *rapid.Generator[sensors.Fault] {
	return rapid.SampledFrom([]sensors.Fault{
		sensors.NoFault, sensors.NotFitted, sensors.Absent, sensors.BadCRC, sensors.AllZero, sensors.AllOnes,
		sensors.PowerOn, sensors.ConversionFailed, sensors.OutOfRange, sensors.Stale, sensors.Stuck, sensors.Jumped,
	})
}

func anyReading() *rapid.Generator[sensors.Reading] {
	return rapid.Custom(func(t *rapid.T) sensors.Reading {
		nano := rapid.OneOf(
			rapid.Int64Range(int64(218*physic.Kelvin), int64(400*physic.Kelvin)), // −55 to +126 °C
			rapid.Int64Range(0, int64(100_000*physic.Kelvin)),
		).Draw(t, "nanokelvin")
		return sensors.Reading{Temperature: physic.Temperature(nano), Fault: anyFault().Draw(t, "fault")}
	})
}

func anyFrame(at time.Duration, wall time.Time) *rapid.Generator[sensors.Frame] {
	return rapid.Custom(func(t *rapid.T) sensors.Frame {
		f := sensors.Frame{At: at, Wall: wall}
		for role := range f.Probes {
			f.Probes[role] = anyReading().Draw(t, sensors.Role(role).String())
		}
		f.Pressure = sensors.Pressure{Pascal: rapid.Int32().Draw(t, "pascal"), Fault: anyFault().Draw(t, "pressure fault")}
		return f
	})
}

func anyFloat() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), math.Copysign(0, -1)}))
}

func anyFinding() *rapid.Generator[rules.Finding] {
	return rapid.Custom(func(t *rapid.T) rules.Finding {
		return rules.Finding{
			Level: rapid.SampledFrom([]rules.Level{rules.NotEvaluated, rules.Clear, rules.Raised}).Draw(t, "level"),
			Cause: rules.Cause(rapid.Byte().Draw(t, "cause")),
			A:     anyFloat().Draw(t, "a"), B: anyFloat().Draw(t, "b"),
		}
	})
}

func anyID() *rapid.Generator[rules.ID] {
	return rapid.Map(rapid.IntRange(0, int(rules.IDCount)-1), func(i int) rules.ID { return rules.ID(i) })
}

func anyBody() *rapid.Generator[Body] {
	return rapid.Custom(func(t *rapid.T) Body {
		text := func(name string) string { return rapid.String().Draw(t, name) }
		span := func(name string) time.Duration { return time.Duration(rapid.Int64().Draw(t, name)) }
		switch rapid.IntRange(0, 9).Draw(t, "kind") {
		case 0:
			q := rules.Quantity{Milli: rapid.Int64Range(1, 999_999_999).Draw(t, "milli"), Unit: rapid.SampledFrom([]rules.Unit{rules.Kilogram, rules.Litre, rules.FluidOunce}).Draw(t, "unit")}
			return EventOf(rules.Event{Kind: rules.TopUp, Quantity: q}, text("by"), text("batch"))
		case 1:
			return FindingOf(anyID().Draw(t, "id"), anyFinding().Draw(t, "finding"))
		case 2:
			state := rapid.Map(rapid.IntRange(0, int(alarm.OutOfService)), func(i int) alarm.State { return alarm.State(i) })
			return AlarmOf(alarm.Change{
				Alarm: anyID().Draw(t, "id"), From: state.Draw(t, "from"), To: state.Draw(t, "to"),
				Priority: alarm.Priority(rapid.IntRange(0, 3).Draw(t, "priority")), Finding: anyFinding().Draw(t, "finding"),
			})
		case 3:
			return CommandOf(alarm.Command{Alarm: anyID().Draw(t, "id"), Action: alarm.Action(rapid.IntRange(1, 6).Draw(t, "action")), For: span("for"), Reason: text("reason")}, text("by"))
		case 4:
			return PhaseOf(rules.Phase(rapid.IntRange(0, int(rules.Abandoned)).Draw(t, "phase")), rapid.Int().Draw(t, "pass"))
		case 5:
			return Batch{State: rapid.SampledFrom([]string{Opened, Closed}).Draw(t, "state"), Number: "n" + text("number"), Recipe: text("recipe")}
		case 6:
			c := rules.Config{Bath: text("bath"), Elevation: rapid.Float64().Draw(t, "elevation")}
			c.Recipe.Hold = span("hold")
			return Config{Config: c, By: text("by")}
		case 7:
			return Restart{Boot: text("boot"), GapKnown: rapid.Bool().Draw(t, "known"), Downtime: span("down"), Version: text("version")}
		case 8:
			return Clock{Step: span("step")}
		}
		return Stop{Reason: text("reason")}
	})
}

func anyEntry(at time.Duration, wall time.Time) *rapid.Generator[Entry] {
	return rapid.Custom(func(t *rapid.T) Entry {
		bath := rapid.SampledFrom([]string{"north", "south", "Süd, hinten"}).Draw(t, "bath")
		if rapid.Bool().Draw(t, "is a reading") {
			return OfFrame(bath, Rounded(anyFrame(at, wall).Draw(t, "frame")))
		}
		if rapid.Bool().Draw(t, "is of the site") {
			bath = ""
		}
		e, err := Of(at, wall, bath, anyBody().Draw(t, "body"))
		if err != nil {
			t.Fatal(err)
		}
		return e
	})
}

// TestWhatIsWrittenIsReadBack writes polls of any entries, at offsets that go
// on by anything from nothing to a month and at wall times that jump about, and
// closes and opens the record in between.
func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir := t.TempDir()
		r := openIn(t, dir)
		defer func() { r.Close() }()
		var written []Entry
		var at time.Duration
		for range rapid.IntRange(1, 8).Draw(rt, "polls") {
			at += time.Duration(rapid.OneOf(rapid.Int64Range(0, int64(3*time.Second)), rapid.Int64Range(0, int64(8*time.Minute)), rapid.Int64Range(0, int64(31*24*time.Hour))).Draw(rt, "later"))
			wall := nine.Add(at + time.Duration(rapid.OneOf(
				rapid.Int64Range(int64(-time.Second), int64(time.Second)),
				rapid.Int64Range(int64(-60*365*24*time.Hour), int64(60*365*24*time.Hour)),
			).Draw(rt, "wall jump")))
			numbered, err := r.Append(t.Context(), rapid.SliceOfN(anyEntry(at, wall), 0, 5).Draw(rt, "poll"))
			if err != nil {
				rt.Fatal(err)
			}
			written = append(written, numbered...)
			if rapid.IntRange(0, 5).Draw(rt, "restart") == 0 {
				if err := r.Close(); err != nil {
					rt.Fatal(err)
				}
				r = openIn(t, dir)
			}
		}
		if read := all(t, r.Reader); !reflect.DeepEqual(read, written) {
			rt.Fatalf("read    %v\nwritten %v", read, written)
		}
		if err := sound(r.Reader, written); err != nil {
			rt.Fatal(err)
		}
	})
}

func TestABodySaysTheSameAfterwards(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := anyBody().Draw(rt, "body")
		e, err := Of(0, nine, "north", b)
		if err != nil {
			rt.Fatal(err)
		}
		back := newBody(e.Kind)
		if err := e.Decode(back); err != nil {
			rt.Fatal(err)
		}
		// NaN differs from itself: compare the words, and the numbers by bits below.
		if again := must(json.Marshal(back)); string(again) != string(e.Body) {
			rt.Fatalf("%s became %s", e.Body, again)
		}
	})
}

func TestAFindingKeepsItsNumbersToTheBit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		id, f := anyID().Draw(rt, "id"), anyFinding().Draw(rt, "finding")
		var b Finding
		if err := must(Of(0, nine, "north", FindingOf(id, f))).Decode(&b); err != nil {
			rt.Fatal(err)
		}
		gotID, got, err := b.Finding()
		same := func(x, y float64) bool {
			return math.Float64bits(x) == math.Float64bits(y) || math.IsNaN(x) && math.IsNaN(y)
		}
		if err != nil || gotID != id || got.Level != f.Level || got.Cause != f.Cause || !same(got.A, f.A) || !same(got.B, f.B) {
			rt.Fatalf("%v %+v became %v %+v, %v", id, f, gotID, got, err)
		}
	})
}

func TestRoundingTwiceIsRoundingOnce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		at := time.Duration(rapid.Int64Range(int64(-time.Hour), 1<<60).Draw(rt, "at"))
		later := at + time.Duration(rapid.Int64Range(0, int64(time.Second)).Draw(rt, "later"))
		once := Rounded(anyFrame(at, time.Unix(0, rapid.Int64().Draw(rt, "wall"))).Draw(rt, "frame"))
		if once != Rounded(once) {
			rt.Fatalf("%v became %v", once, Rounded(once))
		}
		if once.At > at || at-once.At >= Tick || RoundedAt(later) < once.At {
			rt.Fatalf("%v became %v", at, once.At)
		}
	})
}

// Every step of a DS18B20, 1/16 °C, lies on the record's grid (data sheet
// 19-7487, "Temperature/Data Relationship"): the record loses nothing of it.
func TestEveryStepOfTheProbeIsKept(t *testing.T) {
	for raw := -55 * 16; raw <= 125*16; raw++ {
		r := sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(raw)*physic.Celsius/16}
		var f sensors.Frame
		f.Probes[sensors.Oil] = r
		c := must(columnsOf(Rounded(f)))
		var back sensors.Frame
		if err := c.probes(&back); err != nil || back.Probes[sensors.Oil] != r {
			t.Fatalf("%v became %v, %v", r, back.Probes[sensors.Oil], err)
		}
	}
}

package record

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// The words of the bodies are the file format: they must stay as they are.
func TestBodiesAreWrittenInFixedWords(t *testing.T) {
	f := rules.Finding{Level: rules.Raised, Cause: 2, A: 0.5, B: rules.Finding{}.B}
	for _, c := range []struct {
		body Body
		want string
	}{
		{EventOf(rules.Event{Kind: rules.TopUp, Quantity: rules.Quantity{Milli: 500_000, Unit: rules.Millilitre}}, "maker", "7"), `{"text":"top-up 500 ml","by":"maker","batch":"7"}`},
		{FindingOf(rules.DishBare, f), `{"rule":"dish-bare","level":"raised","cause":2,"a":0.5,"b":0}`},
		{AlarmOf(alarm.Change{Alarm: rules.DishBare, From: alarm.Normal, To: alarm.Unacknowledged, Priority: alarm.High, Finding: f}),
			`{"alarm":"dish-bare","from":"normal","to":"unacknowledged","priority":"high","level":"raised","cause":2,"a":0.5,"b":0}`},
		{CommandOf(alarm.Command{Alarm: rules.TopUpDue, Action: alarm.Shelve, For: time.Minute, Reason: "tea"}, "maker"),
			`{"alarm":"top-up-due","action":"shelve","for_ns":60000000000,"reason":"tea","by":"maker"}`},
		{PhaseOf(rules.Holding, 2), `{"phase":"holding","pass":2}`},
		{Batch{State: Closed, Number: "7", Recipe: "ribwort-fresh", Verdict: "held"}, `{"state":"closed","number":"7","recipe":"ribwort-fresh","verdict":"held"}`},
		{Restart{Boot: "b", GapKnown: true, Downtime: time.Second, Version: "1"}, `{"boot":"b","gap_known":true,"downtime_ns":1000000000,"uptime_ns":0,"version":"1"}`},
		{Clock{Step: -time.Second}, `{"step_ns":-1000000000}`},
		{Correction{Voids: 3, Reason: "twice", By: "maker"}, `{"voids":3,"reason":"twice","by":"maker"}`},
		{Stop{Reason: "asked to"}, `{"reason":"asked to"}`},
	} {
		if e, err := Of(0, nine, "north", c.body); err != nil || string(e.Body) != c.want {
			t.Errorf("got  %s, %v\nwant %s", e.Body, err, c.want)
		}
	}
	config := must(Of(0, nine, "north", Config{Config: rules.Config{Bath: "north"}}))
	if want := must(json.Marshal(rules.Config{Bath: "north"})); !bytes.Equal(config.Body, want) {
		t.Errorf("a config is written as %s, want %s", config.Body, want)
	}
}

func TestADecodedEntryIsOfItsKindAndMakesSense(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		body string
		into Body
		want string
	}{
		{KindPhase, `{"phase":"holding"}`, new(Alarm), `it is of kind "phase", not "alarm"`},
		{KindPhase, `{"phase":"boiling"}`, new(Phase), `unknown phase "boiling"`},
		{KindPhase, `{"phase":"unknown-phase"}`, new(Phase), `unknown phase`},
		{KindPhase, `{"phase":7}`, new(Phase), `cannot unmarshal number`},
		{KindPhase, `{"phase":"idle"} x`, new(Phase), `something follows`},
		{KindPhase, ``, new(Phase), `EOF`},
		{KindAlarm, `{"alarm":"dish-bare","from":"normal","to":"loud"}`, new(Alarm), `unknown alarm state "loud"`},
		{KindAlarm, `{"alarm":"kettle"}`, new(Alarm), `unknown rule "kettle"`},
		{KindCommand, `{"alarm":"dish-bare","action":"mute"}`, new(Command), `unknown action "mute"`},
		{KindFinding, `{"rule":"dish-bare","level":"raised","a":"many"}`, new(Finding), `"many" is not a number`},
		{KindEvent, `{"text":"stir"}`, new(Event), `unknown event "stir"`},
		{KindEvent, `{"text":"top-up  500ml"}`, new(Event), `would be read back as "top-up 500 ml"`},
		{KindBatch, `{"state":"paused","number":"7"}`, new(Batch), `batch state "paused"`},
		{KindBatch, `{"state":"opened"}`, new(Batch), `no number`},
		{KindCorrection, `{"voids":0,"reason":"x"}`, new(Correction), `count from 1`},
		{KindCorrection, `{"voids":1}`, new(Correction), `no reason`},
	} {
		err := Entry{Seq: 12, Kind: c.kind, Body: json.RawMessage(c.body)}.Decode(c.into)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "decode entry 12") {
			t.Errorf("%s %s: %v, want %q", c.kind, c.body, err, c.want)
		}
	}
}

func TestOnlyReadingsEventsAndRestartsAreInputs(t *testing.T) {
	f := frameAt(time.Second)
	event := rules.Event{Kind: rules.Note, Text: "smells of hay; good"}
	for _, c := range []struct {
		entry Entry
		want  rules.Input
		ok    bool
	}{
		{OfFrame("north", f), rules.OfFrame(f), true},
		{must(Of(time.Second, nine, "north", EventOf(event, "maker", ""))), rules.OfEvent(time.Second, event), true},
		{must(Of(time.Second, nine, "", Restart{GapKnown: true})), rules.Input{Kind: rules.RestartInput, At: time.Second, GapKnown: true}, true},
		{must(Of(time.Second, nine, "north", PhaseOf(rules.Idle, 0))), rules.Input{}, false},
	} {
		if in, ok, err := c.entry.Input(); err != nil || ok != c.ok || in != c.want {
			t.Errorf("%s: %+v %v %v, want %+v %v", c.entry.Kind, in, ok, err, c.want, c.ok)
		}
	}
}

// FuzzDecode gives any text to every kind's decoder: it must refuse it or
// understand it, and what it understood it must write and understand again.
func FuzzDecode(f *testing.F) {
	for _, b := range []Body{
		EventOf(rules.Event{Kind: rules.Light}, "maker", "7"), FindingOf(rules.TooShort, rules.Finding{}),
		AlarmOf(alarm.Change{}), CommandOf(alarm.Command{Action: alarm.Reset}, ""), PhaseOf(rules.Idle, 0),
		Batch{State: Opened, Number: "1"}, Config{}, Restart{}, Clock{}, Correction{Voids: 1, Reason: "x"}, Stop{},
	} {
		f.Add(string(b.Kind()), []byte(must(Of(0, nine, "", b)).Body))
	}
	f.Add("finding", []byte(`{"rule":"dish-bare","level":"clear","a":null,"b":"-inf"}`))
	f.Fuzz(func(t *testing.T, kind string, body []byte) {
		b := newBody(Kind(kind))
		if b == nil {
			return
		}
		if (Entry{Kind: Kind(kind), Body: body}).Decode(b) != nil {
			return
		}
		again, err := Of(0, nine, "", b)
		if err != nil {
			t.Fatalf("%s was understood but not written: %v", body, err)
		}
		if err := again.Decode(newBody(again.Kind)); err != nil {
			t.Fatalf("%s was written but not understood: %v", again.Body, err)
		}
	})
}

// FuzzColumns gives any values to the decoder of readings.
func FuzzColumns(f *testing.F) {
	f.Add(int64(936250), "absent", int64(100930), "stuck")
	f.Add(int64(-1<<63), "", int64(1<<40), "unknown")
	f.Fuzz(func(t *testing.T, oil int64, bath string, pascal int64, room string) {
		for _, c := range []columns{{oil, bath, room, pascal}, {oil, oil, nil, pascal}, {nil, nil, nil, bath}, {nil, nil, room, nil}} {
			var frame sensors.Frame
			if c.probes(&frame) != nil {
				continue
			}
			if back, err := columnsOf(frame); err != nil || !reflect.DeepEqual(back, c) {
				t.Fatalf("%v became %v, %v", c, back, err)
			}
		}
	})
}

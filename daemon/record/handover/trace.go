package handover

import (
	"context"
	"fmt"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/trace"
	"bainward/sensors"
)

// traceOf returns the readings of a batch and what the maker did, as a trace.
// What was taken back later is not in it. Instants are those of the monotonic
// clock put on the wall clock of the opening, so that a clock that was set
// meanwhile does not make the trace run backwards.
func traceOf(ctx context.Context, r *record.Reader, b record.BatchEntries, void map[int64]bool) ([]trace.Row, error) {
	var rows []trace.Row
	for e, err := range r.OfBatch(ctx, b) {
		if err != nil {
			return nil, err
		}
		if e.Seq < b.Opened.Seq || void[e.Seq] {
			continue
		}
		row := trace.Row{Wall: b.Opened.Wall.Add(e.At - b.Opened.At)}
		switch e.Kind {
		case record.KindReading:
			row.Probes, row.Pressure = e.Frame.Probes, e.Frame.Pressure
		case record.KindEvent:
			event, err := eventOf(e)
			if err != nil {
				return nil, err
			}
			row.Events = []rules.Event{event}
			row.Pressure.Fault = sensors.NotFitted
			for i := range row.Probes {
				row.Probes[i].Fault = sensors.NotFitted
			}
		default:
			continue
		}
		rows = append(rows, row)
	}
	return rows, nil
}

func eventOf(e record.Entry) (rules.Event, error) {
	var body record.Event
	if err := e.Decode(&body); err != nil {
		return rules.Event{}, fmt.Errorf("entry %d: %w", e.Seq, err)
	}
	event, err := body.Event()
	if err != nil {
		return rules.Event{}, fmt.Errorf("entry %d: %w", e.Seq, err)
	}
	return event, nil
}

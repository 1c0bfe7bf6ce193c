package app

import (
	"bytes"
	"path/filepath"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/sensors"
)

// longRecord writes a batch of two macerations with so many readings, one a
// second, straight into a record.
func longRecord(t testing.TB, s *site.Site, readings int) (r *record.Reader, number string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "record")
	rec, err := record.Open(t.Context(), record.Options{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = rec.Close() })
	cfg, err := s.Config("north", "ribwort")
	if err != nil {
		t.Fatal(err)
	}
	number = "2026-03-01-north-1"
	var batch []record.Entry
	add := func(at time.Duration, b record.Body) {
		e, err := record.Of(at, nine.Add(at), "north", b)
		if err != nil {
			t.Fatal(err)
		}
		batch = append(batch, e)
	}
	did := func(at time.Duration, text string) {
		e, err := rules.ParseEvent(text)
		if err != nil {
			t.Fatal(err)
		}
		add(at, record.EventOf(e, "Robin", number))
	}
	flush := func() {
		if _, err := rec.Append(t.Context(), batch); err != nil {
			t.Fatal(err)
		}
		batch = batch[:0]
	}
	add(0, record.Config{Config: cfg})
	add(0, record.Batch{State: record.Opened, Number: number, Recipe: "ribwort"})
	did(0, "fill 1.85 kg")
	did(0, "light")
	second := readings / 2
	for i := range readings {
		at := time.Duration(i) * time.Second
		switch i {
		case second:
			did(at, "strain")
			did(at, "recharge 200 g")
		case readings - 1:
			did(at, "strain")
			did(at, "bottle 600 ml")
		}
		warm := min(1, float64(i%second)/1200)
		f := sensors.Frame{At: at, Wall: nine.Add(at), Pressure: sensors.Pressure{Fault: sensors.NotFitted}}
		f.Probes[sensors.Oil] = sensors.AtCelsius(20 + 72*warm + float64(i%7)/16)
		f.Probes[sensors.Bath] = sensors.AtCelsius(20 + 79*warm)
		f.Probes[sensors.Room] = sensors.Reading{Fault: sensors.NotFitted}
		batch = append(batch, record.OfFrame("north", record.Rounded(f)))
		if len(batch) > 2000 {
			flush()
		}
	}
	add(time.Duration(readings)*time.Second, record.Batch{State: record.Closed, Number: number, Recipe: "ribwort", Verdict: "held"})
	flush()
	return rec.Reader, number
}

// A sheet of two macerations with 20,000 readings, five and a half hours, is there
// before somebody wonders; the time is printed.
func TestALongBatchIsDrawnSoon(t *testing.T) {
	const readings, soon = 20_000, 20 * time.Second // on a machine that eight share
	s := newDoubleSite(t)
	r, number := longRecord(t, s, readings)
	began := time.Now()
	sheet, err := ReadSheet(t.Context(), r, s, number)
	if err != nil {
		t.Fatal(err)
	}
	read := time.Since(began)
	var pdf bytes.Buffer
	if err := paper.Sheet(&pdf, sheet); err != nil {
		t.Fatal(err)
	}
	took := time.Since(began)
	t.Logf("%d readings: %s to read and fold, %s to draw, %d points, %d kB of PDF", readings, read.Round(time.Millisecond), (took - read).Round(time.Millisecond), len(sheet.Trace.Points), pdf.Len()/1000)
	if took > soon {
		t.Errorf("it took %s, want under %s", took, soon)
	}
	if len(sheet.Macerations) != 2 || sheet.Verdict != "held" {
		t.Errorf("the sheet tells of %+v, %s", sheet.Macerations, sheet.Verdict)
	}
}

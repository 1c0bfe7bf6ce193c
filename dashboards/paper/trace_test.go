package paper_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"
	"time"

	"bainward/dashboards/paper"
)

// Colours of a trace as they are printed.
var (
	oilColour   = color.NRGBA{0x8a, 0x61, 0x00, 0xff}
	bathColour  = color.NRGBA{0x1b, 0x64, 0x80, 0xff}
	floorColour = color.NRGBA{0x2f, 0x5a, 0x3c, 0xff}
	boilColour  = color.NRGBA{0xa1, 0x39, 0x1f, 0xff}
	alarmColour = color.NRGBA{0xa3, 0x16, 0x21, 0xff}
	holdColour  = color.NRGBA{0xe3, 0xee, 0xde, 0xff}
)

// readTrace is the picture of a printed trace with its two scales, read as a person
// reads them: off the figures beside the axes.
type readTrace struct {
	picture        image.Image
	pixelsPerPoint float64
	zero, perHour  float64 // points
	low, perDegree float64 // points; low is where 0 °C would be
	top, bottom    float64 // points: of the frame
}

// readTraceOf draws the first page of a sheet without smoothing, so that colours are
// the very colours of the ink.
func readTraceOf(t *testing.T, s paper.BatchSheet, firstTime, lastTime string, hours float64, lowTick, highTick float64) readTrace {
	t.Helper()
	pdf := drawnSheet(t, s)
	const dots = 150
	picture, err := png.Decode(bytes.NewReader(run(t, pdf, "pdftoppm", "-r", fmt.Sprint(dots), "-f", "1", "-l", "1", "-aa", "no", "-aaVector", "no", "-png", "-")))
	if err != nil {
		t.Fatal(err)
	}
	r := readTrace{picture: picture, pixelsPerPoint: dots / 72.0}
	words := printedPages(t, pdf)[0].Words
	under := 0.0 // the heading of the trace
	for _, w := range words {
		if w.Text == "Temperatures" {
			under = w.Bottom
		}
	}
	find := func(text string, left bool) printedWord {
		for _, w := range words {
			if w.Text == text && w.Top > under && (!left || w.Right < 30*pointsPerMM) {
				return w
			}
		}
		t.Fatalf("no %q beside the trace", text)
		return printedWord{}
	}
	middle := func(w printedWord) float64 { return (w.Left + w.Right) / 2 }
	height := func(w printedWord) float64 { return (w.Top + w.Bottom) / 2 }
	first, last := find(firstTime, false), find(lastTime, false)
	r.zero, r.perHour = middle(first), (middle(last)-middle(first))/hours
	low, high := find(fmt.Sprint(lowTick), true), find(fmt.Sprint(highTick), true)
	r.perDegree = (height(low) - height(high)) / (highTick - lowTick)
	r.low = height(low) + float64(lowTick*r.perDegree)
	r.top, r.bottom = height(high), height(low)
	return r
}

// usual reads the trace of the yard.
func usual(t *testing.T, change func(*paper.Trace)) readTrace {
	t.Helper()
	s := yard()
	if change != nil {
		change(&s.Trace)
	}
	return readTraceOf(t, s, "0:00", "4:30", 4.5, 20, 100)
}

// column returns the pixels of a colour at a time since the lighting, as
// temperatures from high to low.
func (r readTrace) column(since time.Duration, c color.NRGBA) []float64 {
	x := int(math.Round((r.zero + float64(since.Hours()*r.perHour)) * r.pixelsPerPoint))
	var found []float64
	for y := int((r.top - 12) * r.pixelsPerPoint); y < int((r.bottom+12)*r.pixelsPerPoint); y++ {
		if same(r.picture.At(x, y), c) {
			found = append(found, (r.low-float64(y)/r.pixelsPerPoint)/r.perDegree)
		}
	}
	return found
}

func same(a color.Color, b color.NRGBA) bool { return color.NRGBAModel.Convert(a) == b }

// near tells whether one of the pixels lies within a degree or so of want.
func near(found []float64, want float64) bool {
	for _, v := range found {
		if math.Abs(v-want) < 1.5 {
			return true
		}
	}
	return false
}

// Whoever lays a ruler on the printed trace reads the temperatures that went in.
func TestATraceReadsWhatTheProbesRead(t *testing.T) {
	s := yard()
	r := usual(t, nil)
	for _, since := range []time.Duration{10 * time.Minute, 20 * time.Minute, 45 * time.Minute, 150 * time.Minute, 180 * time.Minute, 280 * time.Minute} {
		p := s.Trace.Points[(since+s.Trace.Zero)/(10*time.Second)]
		if found := r.column(since, oilColour); !near(found, p.OilC) {
			t.Errorf("oil after %v: ink at %.1f °C, want %.1f °C", since, found, p.OilC)
		}
	}
	// Dashes leave gaps, so a minute to both sides counts.
	for _, one := range []struct {
		name   string
		colour color.NRGBA
		since  time.Duration
		want   func(paper.Point) float64
	}{
		{"bath", bathColour, 12 * time.Minute, func(p paper.Point) float64 { return p.BathC }},
		{"floor", floorColour, 100 * time.Minute, func(p paper.Point) float64 { return p.FloorC }},
		{"boiling point", boilColour, 3 * time.Minute, func(p paper.Point) float64 { return p.BoilingC }},
	} {
		seen := false
		for d := -3 * time.Minute; d <= 3*time.Minute; d += 20 * time.Second {
			p := s.Trace.Points[(one.since+d+s.Trace.Zero)/(10*time.Second)]
			seen = seen || near(r.column(one.since+d, one.colour), one.want(p))
		}
		if !seen {
			t.Errorf("%s after %v: no ink where it was", one.name, one.since)
		}
	}
}

// An oil that was hot for one second in five hours is hot on the paper.
func TestOneHotSecondIsOnThePaper(t *testing.T) {
	at := 135 * time.Minute
	r := usual(t, func(trace *paper.Trace) {
		trace.Points[at/(10*time.Second)].OilC = 104.5
	})
	seen := false
	for d := -time.Minute; d <= time.Minute; d += 10 * time.Second {
		seen = seen || near(r.column(at-2*time.Minute+d, oilColour), 104.5)
	}
	if !seen {
		t.Error("no ink at 104.5 °C")
	}
}

// Where a probe was silent the line is open, on both sides of it there is ink.
func TestSilenceIsAGapInTheLine(t *testing.T) {
	silent := func(how func(*paper.Trace, int)) readTrace {
		return usual(t, func(trace *paper.Trace) {
			for i := len(trace.Points) - 1; i >= 0; i-- {
				if at := trace.Points[i].At; at > 120*time.Minute && at < 140*time.Minute {
					how(trace, i)
				}
			}
		})
	}
	for name, r := range map[string]readTrace{
		"faulty":  silent(func(trace *paper.Trace, i int) { trace.Points[i].OilC = math.NaN() }),
		"missing": silent(func(trace *paper.Trace, i int) { trace.Points = append(trace.Points[:i], trace.Points[i+1:]...) }),
	} {
		for _, minute := range []int{120, 124, 128, 132, 136} {
			if found := r.column(time.Duration(minute)*time.Minute, oilColour); len(found) > 0 {
				t.Errorf("%s: ink at %.1f °C %d min after the lighting", name, found, minute)
			}
		}
		for _, minute := range []int{110, 150} {
			if len(r.column(time.Duration(minute)*time.Minute, oilColour)) == 0 {
				t.Errorf("%s: no ink %d min after the lighting", name, minute)
			}
		}
	}
}

// The time that counted as hold is shaded, and no other.
func TestHoldsAreShadedWhileTheyCounted(t *testing.T) {
	s := yard()
	r := usual(t, nil)
	for minute := 6; minute < 290; minute += 7 {
		at := time.Duration(minute)*time.Minute + s.Trace.Zero
		held := false
		for _, h := range s.Trace.Holds {
			held = held || at > h.From && at < h.To
		}
		if shaded := len(r.column(at-s.Trace.Zero, holdColour)) > 20; shaded != held {
			t.Errorf("%d min after the lighting: shaded %t, held %t", minute, shaded, held)
		}
	}
}

// An alarm is a red thread over the whole height where it came up; what a person
// did is none.
func TestAlarmsAreRedThreads(t *testing.T) {
	s := yard()
	r := usual(t, nil)
	for _, m := range s.Trace.Marks {
		most := 0
		for d := -30 * time.Second; d <= 30*time.Second; d += 10 * time.Second {
			most = max(most, len(r.column(m.At-s.Trace.Zero+d, alarmColour)))
		}
		whole := int((r.bottom - r.top) * r.pixelsPerPoint)
		if red := most > whole/2; red != m.Alarm {
			t.Errorf("%s at %v: %d red pixels of %d", m.Text, m.At, most, whole)
		}
	}
}

// For readers of US units the scale is in °F.
func TestATraceInFahrenheit(t *testing.T) {
	r := readTraceOf(t, american(), "0:00", "4:30", 4.5, 60, 200)
	p := american().Trace.Points[(150*time.Minute+2*time.Minute)/(10*time.Second)]
	if found := r.column(150*time.Minute, oilColour); !near(found, float64(p.OilC*1.8)+32) {
		t.Errorf("oil: ink at %.1f °F, want that of %.1f °C", found, p.OilC)
	}
}

// What happened some seconds before the lighting happened at 0:00, not at "−0:00".
func TestNoMinuteIsLessThanNone(t *testing.T) {
	s := yard()
	s.Trace.Marks = []paper.Mark{{At: s.Trace.Zero - 50*time.Second, Text: "fill"}, {At: s.Trace.Zero - 20*time.Second, Text: "charge"}}
	text := asPrinted(t, drawnSheet(t, s))
	if line := "1 | −0:01 | fill | 2 | 0:00 | charge"; !stands(text, line) {
		t.Errorf("no line has %q:\n%s", line, text)
	}
}

package dashboards

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// threeHours is a noisy run at one reading a second: more than a real bath
// shows, so that its drawing is an upper bound.
func threeHours() Trace {
	t := Trace{Bath: "north", To: 3 * time.Hour, Zero: 3 * time.Hour}
	noise := uint32(1)
	for s := range 3 * 3600 {
		noise = noise*1664525 + 1013904223
		jitter := float64(noise>>16)/65536 - 0.5
		bath := min(99.7, 18+float64(s)*0.05)
		t.Points = append(t.Points, Point{time.Duration(s) * time.Second, bath - 8 + jitter, bath + 3*jitter, 99.9 + jitter/50, 84.9 + jitter/50})
	}
	return t
}

func drawSVG(t *testing.T, tr Trace, o Options) string {
	t.Helper()
	var out bytes.Buffer
	if err := DrawSVG(&out, tr, o); err != nil {
		t.Fatal(err)
	}
	mustBeXML(t, out.String())
	return out.String()
}

func TestThreeHoursAreUnderSixtyKilobytes(t *testing.T) {
	for _, width := range []int{360, 720, 1000} {
		if n := len(drawSVG(t, threeHours(), Options{Width: width, Height: 300})); n >= 60_000 {
			t.Errorf("at %d px: %d bytes", width, n)
		}
	}
}

func TestAFalteringProbeDoesNotSwellTheDrawing(t *testing.T) {
	tr := threeHours()
	for i := range tr.Points {
		if i%2 == 0 {
			tr.Points[i].OilC, tr.Points[i].BathC = nan, nan
		}
	}
	if n := len(drawSVG(t, tr, Options{})); n >= 60_000 {
		t.Errorf("%d bytes", n)
	}
}

// linePath returns a line in the plot; its sample in the legend comes later.
func linePath(t *testing.T, svg, class string) string {
	t.Helper()
	m := regexp.MustCompile(`<path class="t-line t-` + class + `"[^>]* d="([^"]*)"`).FindStringSubmatch(svg)
	if m == nil {
		t.Fatalf("no line of %s in %s", class, svg)
	}
	return m[1]
}

func TestASilentProbeBreaksItsLineAndNoOther(t *testing.T) {
	tr := threeHours()
	for i := 4000; i < 4100; i++ {
		tr.Points[i].OilC = nan
	}
	svg := drawSVG(t, tr, Options{})
	if n := strings.Count(linePath(t, svg, "oil"), "M"); n != 2 {
		t.Errorf("oil drawn in %d stretches, want 2", n)
	}
	if n := strings.Count(linePath(t, svg, "bath"), "M"); n != 1 {
		t.Errorf("bath drawn in %d stretches, want 1", n)
	}
}

func TestMissingFramesBreakEveryLine(t *testing.T) {
	tr := threeHours()
	tr.Points = append(tr.Points[:2000:2000], tr.Points[2000+int(gapAfter/time.Second)+1:]...)
	tr.From, tr.To = 30*time.Minute, 50*time.Minute // near enough to see half a minute
	svg := drawSVG(t, tr, Options{})
	for s := range seriesCount {
		if n := strings.Count(linePath(t, svg, lineClass(s)), "M"); n != 2 {
			t.Errorf("%s drawn in %d stretches, want 2", s, n)
		}
	}
}

func TestLinesDifferWithoutColour(t *testing.T) {
	seen := make(map[string]series)
	for s := range seriesCount {
		d := fmt.Sprint(dashes(s))
		if other, taken := seen[d]; taken {
			t.Errorf("%s and %s have the same dashes %s", s, other, d)
		}
		seen[d] = s
	}
}

func TestMarksAreNamedAndEscaped(t *testing.T) {
	tr := threeHours()
	tr.Bath = `<script>alert(1)</script>`
	tr.Marks = []Mark{
		{At: time.Hour, Text: `note "<b>"`},
		{At: 2 * time.Hour, Kind: AlarmMark, Priority: alarm.High, Text: "top-up-due"},
		{At: 5 * time.Hour, Text: "outside"},
	}
	svg := drawSVG(t, tr, Options{Width: 700})
	for _, want := range []string{"t-alarm", "alarm, high: top-up-due", "t-event", "note &#34;&lt;b&gt;&#34;", "−2 h"} {
		if !strings.Contains(svg, want) {
			t.Errorf("drawing lacks %q", want)
		}
	}
	for _, unwanted := range []string{"<script", "<b>", "outside", "style="} {
		if strings.Contains(svg, unwanted) {
			t.Errorf("drawing holds %q", unwanted)
		}
	}
}

func TestCrowdedMarksDoNotCoverEachOther(t *testing.T) {
	tr := threeHours()
	for i := range 40 {
		tr.Marks = append(tr.Marks, Mark{At: time.Duration(i) * 4 * time.Minute, Text: "top-up"})
	}
	p := newPlot(tr, Options{}.complete())
	ends := make(map[int]float64) // by row
	shown := 0
	for _, l := range p.labels {
		if l.row < 0 || l.end {
			continue
		}
		shown++
		if l.x < ends[l.row] {
			t.Errorf("words at %.0f run into those before, which end at %.0f", l.x, ends[l.row])
		}
		ends[l.row] = l.x + textWidth(l.mark.Text)
	}
	if shown < 6 || len(p.labels) != 40 {
		t.Errorf("%d of %d marks named, want some named and all drawn", shown, len(p.labels))
	}
}

func TestHoldIsShadedOnlyInsideTheWindow(t *testing.T) {
	tr := threeHours()
	tr.Holds = []Span{{-time.Hour, 30 * time.Minute}, {4 * time.Hour, 5 * time.Hour}}
	svg := drawSVG(t, tr, Options{})
	if n := strings.Count(svg, `class="t-hold"`); n != 1 {
		t.Errorf("%d shaded spans, want 1", n)
	}
	if !strings.Contains(svg, `<rect class="t-hold" x="34"`) {
		t.Error("the hold that began before the window does not start at its edge")
	}
}

func TestAnEmptyTraceIsAFrameWithoutLines(t *testing.T) {
	svg := drawSVG(t, Trace{Bath: "north"}, Options{})
	if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
		t.Errorf("a number that is none: %s", svg)
	}
	if !strings.Contains(svg, "oil no reading") {
		t.Errorf("the title does not say that there is nothing: %s", svg)
	}
}

func TestAxisIsRoundInTheUnitsOfTheReader(t *testing.T) {
	s := threeHours().temperatureScale(rules.US, 6)
	for _, tick := range s.ticks {
		f := tick.at*1.8 + 32
		if math.Abs(f-math.Round(f/5)*5) > 1e-9 {
			t.Errorf("tick at %v °F", f)
		}
		if fmt.Sprint(math.Round(f)) != tick.label {
			t.Errorf("tick at %v °F reads %s", f, tick.label)
		}
	}
	if len(s.ticks) < 3 || len(s.ticks) > 8 {
		t.Errorf("%d ticks", len(s.ticks))
	}
}

func TestTimeIsCountedFromZero(t *testing.T) {
	live := Trace{To: 95 * time.Minute, Zero: 95 * time.Minute}
	if got := labels(live.timeTicks(5)); got != "−90 min,−1 h,−30 min,now" {
		t.Errorf("live axis reads %s", got)
	}
	sheet := Trace{From: 10 * time.Minute, To: 140 * time.Minute, Zero: 20 * time.Minute}
	if got := labels(sheet.timeTicks(5)); got != "0 min,30 min,1 h,90 min,2 h" {
		t.Errorf("sheet axis reads %s", got)
	}
}

func labels(ticks []tick) string {
	var words []string
	for _, t := range ticks {
		words = append(words, t.label)
	}
	return strings.Join(words, ",")
}

func TestThinningKeepsEveryPeak(t *testing.T) {
	var line []xy
	for i := range 10_000 {
		line = append(line, xy{float64(i) / 30, 100})
	}
	line[4321].y = 3
	line[4322].y = 170
	kept := thin(line, 1.5)
	if len(kept) > 1000 {
		t.Errorf("%d points kept of a line with one peak", len(kept))
	}
	low, high := 100.0, 100.0
	for _, p := range kept {
		low, high = min(low, p.y), max(high, p.y)
	}
	if low != 3 || high != 170 {
		t.Errorf("peaks became %v and %v", low, high)
	}
	if kept[0] != line[0] || kept[len(kept)-1] != line[len(line)-1] {
		t.Error("an end of the line is lost")
	}
}

func TestThinningMovesNoPointByMoreThanCanBeSeen(t *testing.T) {
	var line []xy
	for i := range 600 {
		x := float64(i) * 2 // one point a column: only straightening can drop it
		line = append(line, xy{x, 100 + 80*math.Sin(x/90)})
	}
	kept := thin(line, 1.5)
	for _, p := range line {
		if off := math.Abs(at(kept, p.x) - p.y); off > visible+1e-9 {
			t.Fatalf("at x=%v the line moved by %v px", p.x, off)
		}
	}
	if len(kept) > len(line)/2 {
		t.Errorf("%d of %d points kept", len(kept), len(line))
	}
}

// at reads a line between its points.
func at(line []xy, x float64) float64 {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if x <= b.x {
			return a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)
		}
	}
	return math.NaN()
}

func TestPNGHasTheSizeAskedForAndShowsTheLines(t *testing.T) {
	tr := threeHours()
	for i := 4000; i < 4100; i++ {
		tr.Points[i].OilC = nan
	}
	tr.Holds = []Span{{time.Hour, 2 * time.Hour}}
	tr.Marks = []Mark{{At: time.Hour, Text: "top-up"}, {At: 2 * time.Hour, Kind: AlarmMark, Text: "top-up-due"}}
	var out bytes.Buffer
	if err := DrawPNG(&out, tr, Options{Width: 640, Height: 400}); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 640 || b.Dy() != 400 {
		t.Errorf("picture is %v, want 640 by 400", b)
	}
	colours := paletteFor(false)
	for name, hex := range map[string]string{"oil": colours.oil, "bath": colours.bath, "hold": colours.hold, "alarm": colours.alarm} {
		want, found := rgb(hex), false
		for y := range 400 {
			for x := range 640 {
				r, g, b, _ := img.At(x, y).RGBA()
				found = found || byte(r>>8) == want.R && byte(g>>8) == want.G && byte(b>>8) == want.B
			}
		}
		if !found {
			t.Errorf("no pixel has the colour of the %s", name)
		}
	}
}

func TestAnEmptyTraceIsAPicture(t *testing.T) {
	var out bytes.Buffer
	if err := DrawPNG(&out, Trace{Bath: "north"}, Options{Dark: true, Units: rules.US}); err != nil {
		t.Fatal(err)
	}
	if _, err := png.Decode(&out); err != nil {
		t.Fatal(err)
	}
}

func BenchmarkDrawSVG(b *testing.B) {
	tr := threeHours()
	b.ReportAllocs()
	for b.Loop() {
		if err := DrawSVG(new(bytes.Buffer), tr, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

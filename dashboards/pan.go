package dashboards

import (
	"fmt"
	"io"
	"math"
	"slices"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/sensors"
)

// DrawPan writes the bath of s as a cross-section in SVG: pan, dish, oil, herb
// and the water with its level and how surely that is known. id tells the
// drawings on one page apart; it must be a valid part of an XML id.
func DrawPan(w io.Writer, s fold.Snapshot, id string, dark bool) error {
	d := &panDrawing{
		panShape: shapeOf(s.Rig), snapshot: s, id: id,
		colours: paletteFor(dark), glass: glassFor(dark),
	}
	d.open("pan", describePan(s), panWidth, panHeight, panText)
	d.gradients()
	if onTheBoard(s.Phase) {
		d.board()
	} else {
		d.stove()
	}
	d.labels()
	return d.close(w)
}

// glassware holds the colours that only the pan drawing needs.
type glassware struct{ water, oil, glass, copper, leaf, stem, wood, steam string }

func glassFor(dark bool) glassware {
	if dark {
		return glassware{"#2f7d9a", "#c9992e", "#9fc0b8", "#d58a5b", "#6da574", "#4f8158", "#7a5a3c", "#c9d4d0"}
	}
	return glassware{"#7fbdd3", "#e6bb4f", "#5d857c", "#b0612f", "#4d8a57", "#356441", "#b98d5f", "#8fa3a0"}
}

type panDrawing struct {
	canvas
	panShape
	snapshot fold.Snapshot
	id       string
	colours  palette
	glass    glassware
}

// onTheBoard reports whether the dish has left the bath.
func onTheBoard(p rules.Phase) bool {
	return p == rules.Straining || p == rules.Settling || p == rules.Cooling || p == rules.Bottled
}

// charged reports whether there is herb in the dish, as far as the page can
// tell: the rules no longer offer to charge it.
func charged(s fold.Snapshot) bool {
	if s.Phase.Lit() {
		return true
	}
	return s.Phase == rules.Idle && slices.Contains(s.Next, rules.Light) && !slices.Contains(s.Next, rules.Charge)
}

// boilBelow is how far under the boiling point bath water counts as boiling in
// the drawing, K: the data sheet's error of an uncalibrated probe at 100 °C
// (±1 °C) and half a kelvin for where in the pan it hangs.
const boilBelow = 1.5

// boiling reports whether steam is drawn. Nothing is decided with it.
func boiling(s fold.Snapshot) bool { return s.Celsius[sensors.Bath] >= s.BoilingC-boilBelow }

// dry reports whether the drawing shows no water at all.
func (d *panDrawing) dry() bool {
	return d.level(d.snapshot.Estimate.WaterKg.P50, d.snapshot.BareKg) >= d.floor-1
}

func describePan(s fold.Snapshot) string {
	w := Describe(s)
	text := fmt.Sprintf("The bath in cross-section. Oil: %s. Bath: %s.", w.Oil, w.BathTemp)
	if !onTheBoard(s.Phase) {
		text += " Water: " + w.Water + "."
	}
	return text
}

func (d *panDrawing) gradients() {
	d.f(`<defs><linearGradient id="%s-soft" x1="0" y1="0" x2="0" y2="1">`, d.id)
	d.f(`<stop class="p-soft" offset="0" stop-color="%s" stop-opacity="0.12"/><stop class="p-soft" offset="1" stop-color="%s"/></linearGradient>`, d.glass.water, d.glass.water)
	d.f(`<pattern id="%s-unknown" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">`, d.id)
	d.f(`<line class="p-hatch" x1="0" y1="0" x2="0" y2="9" stroke="%s" stroke-width="1.5" opacity="0.55"/></pattern></defs>`, d.colours.muted)
}

// stove draws the pan on the hob with the dish in it.
func (d *panDrawing) stove() {
	d.heat()
	d.water()
	d.dish(d.dishBase, charged(d.snapshot))
	d.baseLine()
	d.pan()
	d.probe("p-oilprobe", d.colours.oil, d.oilProbeX(), d.dishTop-26, d.dishBase-14)
	d.probe("p-bathprobe", d.colours.bath, d.bathProbeX(), d.rim-22, d.floor-9)
	if boiling(d.snapshot) && !d.dry() {
		d.steam()
	}
}

// The places of the probes: the oil probe in the dish, the bath probe in the
// ring of water beside it.
func (d *panDrawing) oilProbeX() float64  { return d.dishR - 34 }
func (d *panDrawing) bathProbeX() float64 { return (d.left + d.dishL) / 2 }

// water draws the liquid up to the level that is surely there, then a soft edge
// up to where it may reach, and a line at the middle estimate.
func (d *panDrawing) water() {
	e, bare := d.snapshot.Estimate.WaterKg, d.snapshot.BareKg
	mid := d.level(e.P50, bare)
	if math.IsNaN(mid) {
		d.f(`<rect class="p-unknown" x="%s" y="%s" width="%s" height="%s" fill="url(#%s-unknown)"/>`,
			num(d.left), num(d.rim+4), num(d.right-d.left), num(d.floor-d.rim-4), d.id)
		return
	}
	sure, maybe := orElse(d.level(e.P10, bare), mid), orElse(d.level(e.P90, bare), mid)
	if maybe < sure {
		d.f(`<rect x="%s" y="%s" width="%s" height="%s" fill="url(#%s-soft)"/>`,
			num(d.left), num(maybe), num(d.right-d.left), num(sure-maybe), d.id)
	}
	d.rect("p-water", d.glass.water, d.left, sure, d.right-d.left, d.floor-sure)
	if mid < d.floor-1 {
		d.line("p-surface", d.colours.bath, d.left, mid, d.right, mid, 2)
	}
}

func orElse(v, otherwise float64) float64 {
	if math.IsNaN(v) {
		return otherwise
	}
	return v
}

// baseLine marks the level under which the dish base is bare.
func (d *panDrawing) baseLine() {
	d.f(`<path class="p-base" d="M%s %sH%s" stroke="%s" stroke-width="1.5" stroke-dasharray="5 3"/>`,
		num(d.left), num(d.dishBase), num(d.right+14), d.colours.ink)
}

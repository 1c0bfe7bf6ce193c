package dashboards

import (
	"math"

	"bainward/rules"
	"bainward/sensors"
)

// pan draws the metal with its two handles.
func (d *panDrawing) pan() {
	d.f(`<path class="p-pan" fill="none" stroke="%s" stroke-width="5" stroke-linecap="round" stroke-linejoin="round" d="M%s %sV%sq0 6 6 6H%sq6 0 6-6V%s"/>`,
		d.glass.copper, num(d.left-2.5), num(d.rim), num(d.floor-3), num(d.right-3.5), num(d.rim))
	for _, h := range [...]struct{ x, out float64 }{{d.left - 5, -12}, {d.right + 5, 12}} {
		d.f(`<path class="p-pan" fill="none" stroke="%s" stroke-width="4" stroke-linejoin="round" d="M%s %sh%sv9h%s"/>`,
			d.glass.copper, num(h.x), num(d.rim+9), num(h.out), num(-h.out))
	}
	if d.dry() && d.snapshot.Phase.Lit() {
		d.f(`<path class="p-hot" stroke="%s" stroke-width="5" stroke-linecap="round" d="M%s %sH%s"/>`,
			d.colours.alarm, num(d.left+4), num(d.floor+3), num(d.right-4))
	}
}

// dish draws the glass with oil in it, standing at base, on its feet if that
// is in the pan.
func (d *panDrawing) dish(base float64, herb bool) {
	top := base - dishDeep
	oil := base - dishDeep*0.58
	d.rect("p-inside", d.colours.paper, d.dishL, top, d.dishR-d.dishL, dishDeep-4) // no water in there
	if d.snapshot.Phase != rules.Idle || charged(d.snapshot) {
		d.f(`<path class="p-oil" fill="%s" d="M%s %sH%sV%sq0 6-6 6H%sq-6 0-6-6z"/>`,
			d.glass.oil, num(d.dishL+2), num(oil), num(d.dishR-2), num(base-8), num(d.dishL+8))
	}
	if herb {
		d.herb(oil, base)
	}
	d.f(`<path class="p-glass" fill="none" stroke="%s" stroke-width="3" stroke-linecap="round" d="M%s %sV%sq0 8 8 8H%sq8 0 8-8V%s"/>`,
		d.glass.glass, num(d.dishL), num(top), num(base-9), num(d.dishR-8), num(top))
	d.f(`<path class="p-shine" fill="none" stroke="%s" stroke-width="2" stroke-linecap="round" opacity="0.5" d="M%s %sv22"/>`,
		d.glass.glass, num(d.dishL+7), num(top+9))
	if base == d.dishBase {
		for _, x := range [...]float64{d.dishL + 22, d.dishR - 22} {
			d.line("p-foot", d.glass.copper, x, base, x, d.floor, 3)
		}
	}
}

// herb scatters leaves through the oil. The places are fixed: the drawing of a
// bath must not shimmer from one second to the next.
func (d *panDrawing) herb(oil, base float64) {
	places := [...]struct{ x, y, turn float64 }{
		{0.08, 0.7, 20}, {0.17, 0.35, -35}, {0.25, 0.8, 70}, {0.34, 0.5, 10},
		{0.43, 0.22, -15}, {0.46, 0.82, 40}, {0.55, 0.55, -60}, {0.64, 0.28, 25},
		{0.68, 0.78, -20}, {0.87, 0.32, 55}, {0.9, 0.72, 5},
	}
	d.f(`<g class="p-leaf" fill="%s" stroke="%s" stroke-width="1">`, d.glass.leaf, d.glass.stem)
	for _, p := range places {
		x := d.dishL + 6 + float64(p.x*(d.dishR-d.dishL-22))
		y := oil + 3 + float64(p.y*(base-oil-10))
		d.f(`<path transform="translate(%s %s)rotate(%s)" d="M-9 0q9-9 18 0q-9 9-18 0zM-9 0h15"/>`, num(x), num(y), num(p.turn))
	}
	d.WriteString("</g>")
}

// probe draws a rod that ends in a bead where the chip sits.
func (d *panDrawing) probe(class, colour string, x, top, tip float64) {
	d.f(`<g class="%s">`, class)
	d.line("p-rod", colour, x, top, x, tip, 2.5)
	d.f(`<circle class="p-bead" cx="%s" cy="%s" r="4.5" fill="%s" stroke="%s" stroke-width="1.5"/></g>`,
		num(x), num(tip), colour, d.colours.paper)
}

// steam rises from the ring of water on both sides.
func (d *panDrawing) steam() {
	d.f(`<g class="p-steam" fill="none" stroke="%s" stroke-width="2.5" stroke-linecap="round">`, d.glass.steam)
	for _, x := range [...]float64{d.left + 2, d.left + 24, d.right - 24, d.right - 2} {
		d.f(`<path d="M%s %sc-7-7 7-12 0-19s7-12 0-19"/>`, num(x), num(d.rim-6))
	}
	d.WriteString("</g>")
}

// heat draws the hob, and the heat under the pan while the bath is taken to be
// lit. Nobody measures the hob: the words say so.
func (d *panDrawing) heat() {
	y := d.floor + 24
	d.line("p-hob", d.colours.muted, d.left-22, y, d.right+22, y, 3)
	if !d.snapshot.Phase.Lit() {
		return
	}
	d.f(`<g class="p-heat" fill="none" stroke="%s" stroke-width="3" stroke-linecap="round">`, d.glass.copper)
	for i := range 5 {
		x := d.left + float64(panInside*(float64(i)+0.5)/5)
		d.f(`<path d="M%s %sc-5-5 5-7 0-13"/>`, num(x), num(y-3))
	}
	d.WriteString("</g>")
}

// board draws the dish out of the bath, on a wooden board.
func (d *panDrawing) board() {
	base := d.floor - 4
	d.dish(base, false)
	d.f(`<rect class="p-wood" x="%s" y="%s" width="%s" height="12" rx="4" fill="%s"/>`,
		num(d.left-20), num(d.floor-2), num(panInside+40), d.glass.wood)
	if d.snapshot.Phase != rules.Bottled {
		d.probe("p-oilprobe", d.colours.oil, d.oilProbeX(), base-dishDeep-26, base-14)
	}
}

// labels writes the words around the drawing.
func (d *panDrawing) labels() {
	w := Describe(d.snapshot)
	if onTheBoard(d.snapshot.Phase) {
		d.oilLabel(d.floor-4-dishDeep-32, w)
		d.text("p-word", d.colours.ink, "middle", (d.left+d.right)/2, d.floor+30, "out of the bath")
		return
	}
	d.oilLabel(d.dishTop-32, w)
	d.text("p-word p-bathword", d.colours.bath, "start", 4, d.rim-44, "bath")
	d.text("p-figure p-bathword", d.colours.bath, "start", 4, d.rim-28, w.shortTemp(d.snapshot, sensors.Bath))
	d.text("p-word", d.colours.ink, "start", d.right+17, d.dishBase+4, "dish base")
	heat := "heat: off"
	if d.snapshot.Phase.Lit() {
		heat = "heat: on"
	}
	d.text("p-word", d.colours.muted, "middle", (d.left+d.right)/2, d.floor+42, heat+", as far as was told")
	d.waterLabel(w)
}

func (d *panDrawing) oilLabel(y float64, w Words) {
	x := d.oilProbeX()
	d.text("p-word p-oilword", d.colours.oil, "middle", x, y-14, "oil")
	d.text("p-figure p-oilword", d.colours.oil, "middle", x, y+1, w.shortTemp(d.snapshot, sensors.Oil))
}

// waterLabel stands right of the pan at the level it names, clear of the word
// beside the dish base.
func (d *panDrawing) waterLabel(w Words) {
	x, level := d.right+17, d.level(d.snapshot.Estimate.WaterKg.P50, d.snapshot.BareKg)
	if math.IsNaN(level) {
		d.text("p-word", d.colours.ink, "start", x, d.dishBase-34, "water:")
		d.text("p-word", d.colours.ink, "start", x, d.dishBase-20, "not known")
		return
	}
	y := level + 4
	switch {
	case level <= d.dishBase:
		y = min(y, d.dishBase-14)
	default:
		y = max(y, d.dishBase+20)
	}
	word := w.WaterShort
	if d.dry() {
		word = "no water"
	}
	d.text("p-figure p-bathword", d.colours.bath, "start", x, y, word)
}

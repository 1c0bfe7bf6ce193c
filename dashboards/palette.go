package dashboards

import (
	"image/color"
	"strconv"
)

// palette holds the colours of a drawing that stands alone. On a page the style
// sheet puts its own in their place, by class, so that light and dark follow
// the reader.
type palette struct {
	paper, ink, muted, line string
	oil, bath, boiling      string
	floor, hold             string
	alarm, event            string
}

func paletteFor(dark bool) palette {
	if dark {
		return palette{
			paper: "#1d231c", ink: "#eeeadc", muted: "#b4b7a4", line: "#434b40",
			oil: "#e8c15a", bath: "#7cc3dd", boiling: "#f0a58c", floor: "#9cc9a3",
			hold: "#2c4432", alarm: "#ff9b8f", event: "#b4b7a4",
		}
	}
	return palette{
		paper: "#fffdf6", ink: "#22291f", muted: "#565c4b", line: "#d8d1bd",
		oil: "#8a6100", bath: "#1b6480", boiling: "#a1391f", floor: "#2f5a3c",
		hold: "#dcebd6", alarm: "#a31621", event: "#565c4b",
	}
}

func (p palette) of(s series) string {
	return [seriesCount]string{p.boiling, p.floor, p.bath, p.oil}[s]
}

// dashes tell the lines apart without colour: lengths of ink and gap, pixels.
func dashes(s series) []float64 {
	return [seriesCount][]float64{{9, 3, 2, 3}, {2, 3}, {6, 3}, nil}[s]
}

func strokeWidth(s series) float64 {
	return [seriesCount]float64{1.3, 1.5, 1.8, 2.4}[s]
}

// rgb turns #rrggbb into a colour; the palette holds nothing else.
func rgb(hex string) color.RGBA {
	n, err := strconv.ParseUint(hex[1:], 16, 24)
	if err != nil {
		return color.RGBA{A: 0xFF}
	}
	return color.RGBA{byte(n >> 16), byte(n >> 8), byte(n), 0xFF}
}

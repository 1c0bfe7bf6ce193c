package dashboards

import "math"

// xy is a point of a drawing, in CSS pixels.
type xy struct{ x, y float64 }

// thin leaves of a line what can be seen: in each column of pixels the first,
// the lowest, the highest and the last point, so that no peak is lost, and of
// a straight stretch only its ends.
func thin(line []xy, column float64) []xy {
	var kept []xy
	for start := 0; start < len(line); {
		end := start + 1
		cell := math.Floor(line[start].x / column)
		low, high := start, start
		for ; end < len(line) && math.Floor(line[end].x/column) == cell; end++ {
			if line[end].y < line[low].y {
				low = end
			}
			if line[end].y > line[high].y {
				high = end
			}
		}
		kept = appendColumn(kept, line, start, min(low, high), max(low, high), end-1)
		start = end
	}
	return straighten(kept)
}

// appendColumn appends the points at the given rising indices, each once.
func appendColumn(kept, line []xy, indices ...int) []xy {
	last := -1
	for _, i := range indices {
		if i != last {
			kept = append(kept, line[i])
		}
		last = i
	}
	return kept
}

// visible is how far a point must stand off a straight line to be seen, in
// pixels.
const visible = 0.2

// straighten drops the points that lie on the line between a kept point and
// every point after it. The dropped points of a stretch are all checked against
// its chord, so a slow curve keeps its shape.
func straighten(line []xy) []xy {
	if len(line) < 3 {
		return line
	}
	kept := []xy{line[0]}
	from := 0
	for i := 2; i < len(line); i++ {
		if !onChord(line[from : i+1]) {
			from = i - 1
			kept = append(kept, line[from])
		}
	}
	return append(kept, line[len(line)-1])
}

// maxStretch bounds the work of straighten, which looks at every point of a
// stretch again when the stretch grows.
const maxStretch = 64

func onChord(stretch []xy) bool {
	if len(stretch) > maxStretch {
		return false
	}
	a, b := stretch[0], stretch[len(stretch)-1]
	if b.x == a.x {
		return false
	}
	slope := (b.y - a.y) / (b.x - a.x)
	for _, p := range stretch[1 : len(stretch)-1] {
		if math.Abs(a.y+float64(slope*(p.x-a.x))-p.y) > visible {
			return false
		}
	}
	return true
}

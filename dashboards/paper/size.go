package paper

import "github.com/go-pdf/fpdf"

// Size is the size of a page or a label, mm.
type Size struct{ Width, Height float64 }

// A4 returns the page of ISO 216, the usual one outside North America.
func A4() Size { return Size{210, 297} }

// Letter returns the page of 8.5 by 11 inches (ANSI/ASME Y14.1, size A).
func Letter() Size { return Size{215.9, 279.4} }

// mmPerPoint is the DTP point: 72 to the inch (ISO 32000-1, 8.3.2.3).
const mmPerPoint = 25.4 / 72

func (s Size) points() fpdf.SizeType {
	return fpdf.SizeType{Wd: s.Width, Ht: s.Height} // in the unit of the document
}

package paper

import (
	"fmt"
	"os"
	"path/filepath"

	"codeberg.org/go-fonts/liberation/liberationmonoregular"
	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is one typeface of a document.
type face struct {
	family string
	path   string            // "": built in
	fonts  map[weight][]byte // regular stands in for what a face does not have
	glyphs *sfnt.Font
	buffer sfnt.Buffer
}

// ownFace is Liberation Sans (SIL Open Font License 1.1), which comes with the
// program.
func ownFace() (*face, error) {
	glyphs, err := sfnt.Parse(liberationsansregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("read the built-in typeface: %w", err)
	}
	return &face{family: "own", glyphs: glyphs, fonts: map[weight][]byte{
		regular: liberationsansregular.TTF, bold: liberationsansbold.TTF, mono: liberationmonoregular.TTF,
	}}, nil
}

// openFace reads a typeface that somebody named.
func openFace(path string, nth int) (*face, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("open font: %w", err)
	}
	if err := checkTrueType(data); err != nil {
		return nil, fmt.Errorf("use font %q: %w", path, err)
	}
	glyphs, err := sfnt.Parse(data)
	if err != nil {
		return nil, fmt.Errorf("use font %q: %w", path, err)
	}
	return &face{family: fmt.Sprintf("font%d-%s", nth, plain(filepath.Base(path))), path: path, fonts: map[weight][]byte{regular: data}, glyphs: glyphs}, nil
}

// plain keeps of a file name what may stand in the name of a PDF font.
func plain(name string) string {
	kept := []byte{}
	for _, c := range []byte(name) {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' {
			kept = append(kept, c)
		}
	}
	return string(kept)
}

// has tells whether the face can draw r. Letters beyond the first 65,536 do not
// fit the PDF library's two bytes a letter.
func (f *face) has(r rune) bool {
	if r > 0xFFFF {
		return false
	}
	i, err := f.glyphs.GlyphIndex(&f.buffer, r)
	return err == nil && i != 0
}

// Heights of letters as shares of the type's size, measured on the built-in
// typeface.
type heights struct{ x, figure float64 }

func (f *face) heights() (heights, error) {
	const em = 1000
	m, err := f.glyphs.Metrics(&f.buffer, fixed.I(em), font.HintingNone)
	if err != nil {
		return heights{}, fmt.Errorf("measure the built-in typeface: %w", err)
	}
	return heights{x: float64(m.XHeight) / 64 / em, figure: float64(m.CapHeight) / 64 / em}, nil
}

// font returns the font for a weight and a name for it in the PDF.
func (f *face) font(w weight) (name string, file []byte) {
	if file := f.fonts[w]; file != nil {
		return f.family + [...]string{"", "-bold", "-mono"}[w], file
	}
	return f.family, f.fonts[regular]
}

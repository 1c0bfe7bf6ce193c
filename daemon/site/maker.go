package site

import (
	"fmt"
	"strings"
	"unicode"
)

// Maker is who answers for the oil: a label carries their name and address
// (Regulation (EC) No 1223/2009, article 19(1)(a)). The zero Maker is nobody.
type Maker struct {
	Name    string
	Address []string // its lines
	// LabelFonts are TrueType files for scripts that the built-in typeface lacks.
	LabelFonts []string
}

// Responsible is name and address on one line; empty if the file names nobody.
func (m Maker) Responsible() string {
	if m.Name == "" {
		return ""
	}
	return strings.Join(append([]string{m.Name}, m.Address...), ", ")
}

// makerTable is [maker] as it is written.
type makerTable struct {
	Name       string   `toml:"name"`
	Address    []string `toml:"address"`
	LabelFonts []string `toml:"label_fonts"`
}

const (
	// A line that is longer does not fit on the label of a small bottle.
	maxMakerLine = 80
	// An address has so many lines at most (own choice).
	maxMakerLines = 6
)

// maker checks who answers for the oil; the table may be left out.
func (c *checker) maker(t makerTable) Maker {
	if !c.given("maker") {
		return Maker{}
	}
	m := Maker{Name: strings.TrimSpace(t.Name), LabelFonts: t.LabelFonts}
	switch {
	case m.Name == "":
		c.addf("maker.name", "name is missing: who answers for the oil, as it is to stand on labels")
	case unfitForLabel(m.Name):
		c.addf("maker.name", "name = %q must be one line of at most %d bytes", t.Name, maxMakerLine)
	}
	if len(t.Address) == 0 || len(t.Address) > maxMakerLines {
		c.addf("maker.address", `address must be 1 to %d lines in quotes, such as ["1 Alder Lane", "Alderton"]: a label without an address is incomplete`, maxMakerLines)
	}
	for _, line := range t.Address {
		if strings.TrimSpace(line) == "" || unfitForLabel(line) {
			c.addf("maker.address", "address line %q must be one line of at most %d bytes, and not empty", line, maxMakerLine)
		}
		m.Address = append(m.Address, strings.TrimSpace(line))
	}
	for _, path := range t.LabelFonts {
		if !strings.HasPrefix(path, "/") {
			c.addf("maker.label_fonts", "label_fonts: %q must be the whole path of a TrueType file, beginning with /", path)
		}
	}
	return m
}

func unfitForLabel(s string) bool {
	return len(s) > maxMakerLine || strings.ContainsFunc(s, unicode.IsControl)
}

// explainMaker says who stands on labels; nothing if the file does not.
func (s *Site) explainMaker(b *strings.Builder) {
	if s.Maker.Name == "" {
		return
	}
	fmt.Fprintf(b, "Labels: %s\n", s.Maker.Responsible())
	if len(s.Maker.LabelFonts) > 0 {
		fmt.Fprintf(b, "  further typefaces: %s\n", strings.Join(s.Maker.LabelFonts, ", "))
	}
}

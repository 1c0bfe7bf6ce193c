package dashboards

import (
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func staticFile(t *testing.T, name string) string {
	t.Helper()
	static, err := Static()
	if err != nil {
		t.Fatal(err)
	}
	text, err := fs.ReadFile(static, name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// colours returns the colours that a block of the style sheet names.
func colours(block string) map[string]string {
	found := make(map[string]string)
	for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(block, -1) {
		found[m[1]] = m[2]
	}
	return found
}

// luminance and contrast are those of WCAG 2.2, "relative luminance" and
// "contrast ratio".
func luminance(hex string) float64 {
	n, _ := strconv.ParseUint(hex[1:], 16, 24)
	sum := 0.0
	for i, weight := range []float64{0.0722, 0.7152, 0.2126} {
		c := float64(n>>(8*i)&0xFF) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestContrastFormula(t *testing.T) {
	if got := contrast("#000000", "#ffffff"); math.Abs(got-21) > 1e-9 { // WCAG 2.2: 21 to 1
		t.Errorf("black on white: %v", got)
	}
	if got := contrast("#767676", "#ffffff"); math.Abs(got-4.54) > 0.01 { // from memory: the lightest grey that passes
		t.Errorf("#767676 on white: %v", got)
	}
}

func TestTextKeepsItsContrastInLightAndDark(t *testing.T) {
	light, dark, found := strings.Cut(staticFile(t, "style.css"), "prefers-color-scheme: dark")
	if !found {
		t.Fatal("the style sheet has no dark colours")
	}
	for name, c := range map[string]map[string]string{"light": colours(light), "dark": colours(dark)} {
		text := [][2]string{
			{"ink", "paper"}, {"ink", "sheet"}, {"muted", "paper"}, {"muted", "sheet"}, {"herb", "paper"}, {"herb", "sheet"},
			{"on-herb", "herb"}, {"copper", "paper"}, {"copper", "sheet"}, {"water", "sheet"}, {"oil", "sheet"},
			{"boil", "sheet"}, {"boil", "paper"}, {"on-alarm", "alarm"}, {"on-warn", "warn"}, {"herb", "herb-soft"},
		}
		for _, p := range text {
			atLeast(t, name, c, p, 4.5) // WCAG 2.2, 1.4.3
		}
		shapes := [][2]string{
			{"oil", "herb-soft"}, {"water", "herb-soft"}, {"boil", "herb-soft"}, {"pan", "sheet"}, {"glass", "sheet"}, {"herb", "paper"},
		}
		for _, p := range shapes {
			atLeast(t, name, c, p, 3) // WCAG 2.2, 1.4.11
		}
	}
}

func atLeast(t *testing.T, scheme string, c map[string]string, pair [2]string, want float64) {
	t.Helper()
	a, b := c[pair[0]], c[pair[1]]
	if a == "" || b == "" {
		t.Fatalf("%s: the style sheet does not name %s and %s", scheme, pair[0], pair[1])
	}
	if got := contrast(a, b); got < want {
		t.Errorf("%s: %s on %s has %.2f to 1, want %.1f", scheme, pair[0], pair[1], got, want)
	}
}

func TestDrawingsThatStandAloneKeepTheirContrast(t *testing.T) {
	for _, dark := range []bool{false, true} {
		p := paletteFor(dark)
		for name, hex := range map[string]string{"ink": p.ink, "muted": p.muted, "oil": p.oil, "bath": p.bath, "boiling": p.boiling, "floor": p.floor, "alarm": p.alarm, "event": p.event} {
			if got := contrast(hex, p.paper); got < 4.5 {
				t.Errorf("dark %v: %s has %.2f to 1", dark, name, got)
			}
		}
	}
}

func TestPageFilesNameNoOtherHost(t *testing.T) {
	count := 0
	err := fs.WalkDir(files, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		count++
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		plain := strings.ReplaceAll(string(text), "http://www.w3.org/2000/svg", "")
		for _, bad := range []string{"http://", "https://", "//cdn", "@import", " style=", "onclick", "innerHTML", "eval("} {
			if strings.Contains(plain, bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
		return nil
	})
	if err != nil || count < 8 {
		t.Fatalf("walked %d files: %v", count, err)
	}
}

package paper_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/text/unicode/norm"

	"bainward/dashboards/paper"
)

// named is the batch of the yard under another name.
func named(name string, fonts ...string) paper.BatchSheet {
	s := yard()
	s.Product, s.Fonts = name, fonts
	return s
}

// lettersOf are the letters of a text, sorted, in the shapes that people know them
// by: a reader of PDF may give them in reading or in visual order.
func lettersOf(text string) string {
	var letters []rune
	for _, r := range norm.NFKC.String(text) {
		if unicode.IsLetter(r) || unicode.IsMark(r) {
			letters = append(letters, r)
		}
	}
	slices.Sort(letters)
	return string(letters)
}

// scripted are the letters of a text that belong to a script.
func scripted(text string, script *unicode.RangeTable) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(script, r) {
			return r
		}
		return -1
	}, text)
}

// someFont finds a font of the machine by its file's name.
func someFont(t testing.TB, name string) string {
	t.Helper()
	for _, pattern := range []string{"/usr/share/fonts/truetype/*/", "/usr/share/fonts/TTF/", "/usr/share/fonts/*/"} {
		if found, err := filepath.Glob(pattern + name); err == nil && len(found) > 0 {
			return found[0]
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("no font %s on this machine", name)
	}
	t.Skipf("no font %s on this machine", name)
	return ""
}

// Names in the scripts that the built-in typeface has keep all their letters, on
// the first page and in the head of the second.
func TestNamesOfOtherScriptsSurvive(t *testing.T) {
	for name, one := range map[string]struct {
		text   string
		script *unicode.RangeTable
	}{
		"Greek":    {"Λάδι πεντάνευρου", unicode.Greek},
		"Cyrillic": {"Подорожникова олія «Ґанок»", unicode.Cyrillic},
		"Hebrew":   {"שמן לחך (2026)", unicode.Hebrew},
	} {
		t.Run(name, func(t *testing.T) {
			text := string(run(t, drawnSheet(t, named(one.text)), "pdftotext", "-", "-"))
			if got, want := lettersOf(scripted(norm.NFKC.String(text), one.script)), lettersOf(scripted(one.text+one.text, one.script)); got != want {
				t.Errorf("read back %q, want the letters of %q twice", got, one.text)
			}
		})
	}
}

// Hebrew stands on the paper from right to left, letters and words, and figures in
// it from left to right. Poppler tells the letters of a place from the left.
func TestHebrewRunsFromRightToLeft(t *testing.T) {
	fromLeft := func(word string) string {
		letters := []rune(word)
		slices.Reverse(letters)
		return string(letters)
	}
	words := map[string]printedWord{}
	for _, w := range printedPages(t, drawnSheet(t, named("שמן לחך 2026")))[0].Words {
		if w.Top < 20*pointsPerMM {
			words[w.Text] = w
		}
	}
	first, second, year := words[fromLeft("שמן")], words[fromLeft("לחך")], words["2026"]
	if first.Text == "" || second.Text == "" || year.Text == "" {
		t.Fatalf("the words on the paper are %v", words)
	}
	if year.Right > second.Left || second.Right > first.Left {
		t.Errorf("from the left the words stand at %.0f, %.0f, 2026 at %.0f", first.Left, second.Left, year.Left)
	}
}

// Arabic needs a font of the caller's, and then stands joined: a font's own joined
// forms, all letters there.
func TestArabicIsJoined(t *testing.T) {
	const name = "زيت لسان الحمل"
	var missing *paper.LetterError
	if err := paper.Sheet(new(bytes.Buffer), named(name)); !errors.As(err, &missing) || missing.Script != "Arabic" || !strings.Contains(err.Error(), "name a TrueType font") {
		t.Errorf("without a font: %v", err)
	}
	pdf := drawnSheet(t, named(name, someFont(t, "DejaVuSans.ttf")))
	text := string(run(t, pdf, "pdftotext", "-", "-"))
	if got, want := lettersOf(scripted(norm.NFKC.String(text), unicode.Arabic)), lettersOf(name+name); got != want {
		t.Errorf("read back %q, want %q", got, want)
	}
	// Unicode 16.0, chart UFE70: initial lam, medial seen, final noon; isolated is
	// what a letter would be without joining.
	for _, form := range []rune{0xFEDF, 0xFEB4, 0xFEE5} {
		if !strings.ContainsRune(text, form) {
			t.Errorf("%q (%U) is not on the sheet", form, form)
		}
	}
}

// Scripts that need more than letter after letter are refused with the words that
// cannot be printed, in whatever field they stand, and nothing is written.
func TestDevanagariIsRefusedWithItsWords(t *testing.T) {
	const words = "तेल, cold pressed"
	for field, change := range map[string]func(*paper.BatchSheet){
		"product":   func(s *paper.BatchSheet) { s.Product = words },
		"material":  func(s *paper.BatchSheet) { s.Materials[1].Name = words },
		"deed":      func(s *paper.BatchSheet) { s.Deeds[2].Who = words },
		"mark":      func(s *paper.BatchSheet) { s.Trace.Marks[1].Text = words },
		"signature": func(s *paper.BatchSheet) { s.MadeBy.Name = words },
	} {
		t.Run(field, func(t *testing.T) {
			s := yard()
			change(&s)
			var out bytes.Buffer
			var refused *paper.LetterError
			err := paper.Sheet(&out, s)
			if !errors.As(err, &refused) {
				t.Fatalf("error %v, want a *LetterError", err)
			}
			if refused.Letter != 'त' || refused.Script != "Devanagari" || !strings.Contains(refused.Text, words) {
				t.Errorf("it tells of %q of %s in %q", refused.Letter, refused.Script, refused.Text)
			}
			if !strings.Contains(err.Error(), words) || !strings.Contains(err.Error(), "write the name in another script as well") {
				t.Errorf("the error does not say what to do: %v", err)
			}
			if out.Len() > 0 {
				t.Errorf("left %d bytes behind", out.Len())
			}
		})
	}
}

// A font that cannot be used is refused with its path and the reason.
func TestFontsThatCannotBeUsed(t *testing.T) {
	whole := liberationsansregular.TTF
	renamed := func(table string) []byte { // a font without that table
		return bytes.Replace(whole, []byte(table), []byte("none"), 1)
	}
	for name, one := range map[string]struct {
		data []byte
		want string
	}{
		"empty":          {nil, "the file is too short for a font"},
		"a letter":       {[]byte("Dear Robin, here is the font"), "it is not a TrueType font"},
		"PostScript":     {append([]byte("OTTO"), whole[4:]...), "its outlines are PostScript (.otf); a font with TrueType outlines (.ttf) is needed"},
		"a collection":   {append([]byte("ttcf"), whole[4:]...), "it is a collection (.ttc); a file with one font (.ttf) is needed"},
		"cut off early":  {whole[:40], "the file is cut off"},
		"cut off late":   {whole[:len(whole)/2], "ends after the file"},
		"no outlines":    {renamed("glyf"), `it has no table "glyf"`},
		"no letter map":  {renamed("cmap"), `it has no table "cmap"`},
		"not to be used": {forbidden(t, whole), "its maker does not allow it to be embedded in documents"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "some.ttf")
			if err := os.WriteFile(path, one.data, 0o600); err != nil {
				t.Fatal(err)
			}
			refusedFont(t, path, one.want)
		})
	}
	t.Run("missing", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "gone.ttf")
		refusedFont(t, path, "no such file")
		if err := paper.Sheet(new(bytes.Buffer), named("oil", path)); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%v is not %v", err, os.ErrNotExist)
		}
	})
}

func refusedFont(t *testing.T, path, want string) {
	t.Helper()
	var out bytes.Buffer
	err := paper.Sheet(&out, named("oil", path))
	if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), filepath.Base(path)) {
		t.Errorf("error %v, want %q and the path in it", err, want)
	}
	if out.Len() > 0 {
		t.Errorf("left %d bytes behind", out.Len())
	}
}

// forbidden is a font whose maker set the bit against embedding (OpenType 1.9,
// OS/2, fsType 2).
func forbidden(t *testing.T, font []byte) []byte {
	t.Helper()
	font = bytes.Clone(font)
	entry := bytes.Index(font[:400], []byte("OS/2"))
	if entry < 0 {
		t.Fatal("no table OS/2")
	}
	at := int(font[entry+8])<<24 | int(font[entry+9])<<16 | int(font[entry+10])<<8 | int(font[entry+11])
	font[at+8], font[at+9] = 0, 2
	return font
}

// A font file that is damaged inside is an error or a sheet, and never a crash of
// the program that draws.
func FuzzADamagedFontNeverCrashes(f *testing.F) {
	whole, err := os.ReadFile(someFont(f, "DejaVuSans.ttf"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(199, byte(0xe8)) // the library panics over this one
	for _, at := range []int{4, 13, 60, 200, 5000, 100_000} {
		f.Add(at, byte(0xff))
	}
	f.Fuzz(func(t *testing.T, at int, b byte) {
		if at < 0 || at >= len(whole) {
			t.Skip()
		}
		damaged := bytes.Clone(whole)
		damaged[at] ^= b
		path := filepath.Join(t.TempDir(), "damaged.ttf")
		if err := os.WriteFile(path, damaged, 0o600); err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := paper.Sheet(&out, named("زيت", path)); err != nil && out.Len() > 0 {
			t.Errorf("%v, and %d bytes were left behind", err, out.Len())
		}
	})
}

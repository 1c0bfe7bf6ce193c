package paper_test

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/dashboards/paper"
)

// fields returns every text of a sheet that a person may have entered, by its path,
// the texts inside lists included.
func fields(s *paper.BatchSheet) map[string]reflect.Value {
	found := map[string]reflect.Value{}
	collect(reflect.ValueOf(s).Elem(), "", found)
	for _, apart := range []string{
		".Number", ".Program", ".Record.Checkpoint", // limited, or printed line by line
		".Alarms[2].By", ".Checks[3].By", // of what nobody did
	} {
		delete(found, apart)
	}
	maps.DeleteFunc(found, func(path string, _ reflect.Value) bool { return strings.HasSuffix(path, ".Short") }) // for labels
	return found
}

func collect(v reflect.Value, path string, found map[string]reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		found[path] = v
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return
		}
		for field, value := range v.Fields() {
			collect(value, path+"."+field.Name, found)
		}
	case reflect.Slice:
		if path == ".Fonts" || path == ".Trace.Points" {
			return
		}
		for i := range v.Len() {
			collect(v.Index(i), fmt.Sprintf("%s[%d]", path, i), found)
		}
	}
}

// longText makes a text of words that no other field has: "f12w3x" is word 3 of
// field 12. Every tenth word or so is longer than a column is wide.
func longText(t *rapid.T, key int, most int) (text string, words []string) {
	between := [...]string{" ", " ", " ", ", ", " / ", "\n", " – "}
	for i, shape := range rapid.SliceOfN(rapid.IntRange(0, 99), 1, most).Draw(t, "shapes of words") {
		word := fmt.Sprintf("f%dw%dx", key, i)
		words = append(words, word)
		if shape < 10 {
			word += strings.Repeat("Ж", shape*9)
		}
		text += word + between[shape%len(between)]
	}
	return text, words
}

// Long texts in any field lose no word and no letter, stay inside the margins of
// their pages, and do not lie over what stands beside them.
func TestLongTextsLoseNoWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := yard()
		if rapid.Bool().Draw(t, "american") {
			s = american()
		}
		all := fields(&s)
		var words []string
		letters := 0
		for key, path := range rapid.SliceOfNDistinct(rapid.SampledFrom(sortedKeys(all)), 1, 25, rapid.ID[string]).Draw(t, "fields") {
			most := 40
			if rapid.IntRange(0, 9).Draw(t, "huge") == 0 {
				most = 900 // more than a page of a narrow column
			}
			text, own := longText(t, key, most)
			all[path].SetString(text)
			words = append(words, own...)
			letters += strings.Count(text, "Ж")
		}
		pdf := drawnSheet(t, s)
		text := readBack(t, pdf)
		for _, w := range words {
			if !strings.Contains(text, w) {
				t.Fatalf("the word %s is lost, of the field in place %s", w, w[1:strings.Index(w, "w")])
			}
		}
		if n := strings.Count(text, "Ж"); n < letters {
			t.Fatalf("%d of %d letters of long words are there", n, letters)
		}
		for i, p := range printedPages(t, pdf) {
			if w := p.strayed(17.9, 11.9, 10, 5); w != "" {
				t.Fatalf("page %d: %q stands in the margin", i+1, w)
			}
			if w := p.collision(); w != "" {
				t.Fatalf("page %d: %s lie over each other", i+1, w)
			}
		}
	})
}

func sortedKeys(m map[string]reflect.Value) []string {
	return slices.Sorted(maps.Keys(m))
}

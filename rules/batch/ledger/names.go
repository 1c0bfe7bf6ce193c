package ledger

import (
	"fmt"
	"slices"
	"strings"
)

// unknown returns the error for a name that is not in the books, with the one
// that is nearest to it.
func (l *Ledger) unknown(what, name string, names []string) error {
	e := &UnknownError{What: what, Name: name}
	if near := nearest(name, names); near != "" {
		e.Hint = fmt.Sprintf("did you mean %q?", near)
		return e
	}
	switch {
	case len(names) == 0:
		e.Hint = "there is none yet"
	case len(names) <= 12:
		e.Hint = "there is " + strings.Join(names, ", ")
	}
	return e
}

// nearest returns the name next to word, "" if all are other words.
func nearest(word string, names []string) string {
	best, least := "", len(word)/3+2
	for _, name := range names {
		if d := changes(lotKey(word), lotKey(name)); d < least {
			best, least = name, d
		}
	}
	return best
}

// changes counts the letters to put in, take out or replace to make b of a
// (Levenshtein's distance).
func changes(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, r := range from {
		corner := row[0]
		row[0] = i + 1
		for j, s := range to {
			replaced := corner
			if r != s {
				replaced++
			}
			corner = row[j+1]
			row[j+1] = min(replaced, row[j]+1, corner+1)
		}
	}
	return row[len(to)]
}

func (l *Ledger) batchNumbers() []string {
	return slices.DeleteFunc(slices.Clone(l.numbers), func(n string) bool { return l.batches[n] == nil })
}

func (l *Ledger) productNumbers() []string {
	return slices.DeleteFunc(slices.Clone(l.numbers), func(n string) bool { return l.products[n] == nil })
}

func (l *Ledger) bottleNames() (all []string) {
	for _, number := range l.batchNumbers() {
		for _, o := range l.batches[number].bottles {
			all = append(all, o.id())
		}
	}
	return all
}

// lots lists every lot once, as it was first written.
func (l *Ledger) lots() (all []string) {
	seen := map[string]bool{}
	for _, number := range l.batchNumbers() {
		for _, m := range l.batches[number].materials {
			if key := lotKey(m.Fact.Lot); !seen[key] {
				seen[key] = true
				all = append(all, m.Fact.Lot)
			}
		}
	}
	return all
}

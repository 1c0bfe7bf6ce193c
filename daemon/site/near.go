package site

import (
	"fmt"
	"strings"
)

// meant helps somebody who wrote word where one of names was wanted: the name
// next to it, else all of them.
func meant(word string, names []string) string {
	best, least := "", len(word)/3+2 // more changes than that are another word
	for _, name := range names {
		if d := changes(strings.ToLower(word), strings.ToLower(name)); d < least {
			best, least = name, d
		}
	}
	if best != "" {
		return fmt.Sprintf("did you mean %q?", best)
	}
	return listed("named", names)
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

package paper

import (
	"fmt"
	"slices"
	"unicode"

	"golang.org/x/text/unicode/bidi"
)

// levels returns the embedding level of every rune of a paragraph and whether
// it reads from right to left, after the Unicode Bidirectional Algorithm
// (UAX #9). text holds no explicit formatting characters, so the levels are 0
// and 1, and 2 for numbers and foreign words inside right-to-left text.
//
// x/text tells only odd from even levels. In a right-to-left paragraph that is
// enough (1 and 2). In a left-to-right one the even runs are 0, but for numbers
// that follow right-to-left text: rule I1 puts those on level 2.
func levels(text []rune) (level []uint8, rightToLeft bool, err error) {
	level = make([]uint8, len(text))
	rightToLeft = startsRightToLeft(text)
	if !rightToLeft && !slices.ContainsFunc(text, isRightToLeft) {
		return level, false, nil // the usual case, and much the faster one
	}
	var p bidi.Paragraph
	if _, err := p.SetString(string(text)); err != nil {
		return nil, false, fmt.Errorf("order %q: %w", string(text), err)
	}
	runs, err := p.Order()
	if err != nil {
		return nil, false, fmt.Errorf("order %q: %w", string(text), err)
	}
	at := 0
	for i := range runs.NumRuns() {
		run := runs.Run(i)
		length := len([]rune(run.String()))
		inside := 0
		switch {
		case run.Direction() == bidi.RightToLeft:
			fill(level[at:at+length], 1)
		case rightToLeft:
			inside = length
		case at > 0: // whatever precedes it is right-to-left
			inside = numberPrefix(text[at : at+length])
		}
		fill(level[at:at+inside], 2)
		at += length
	}
	return level, rightToLeft, nil
}

func fill(level []uint8, v uint8) {
	for i := range level {
		level[i] = max(level[i], v)
	}
}

func class(r rune) bidi.Class {
	p, _ := bidi.LookupRune(r)
	return p.Class()
}

func isRightToLeft(r rune) bool {
	c := class(r)
	return c == bidi.R || c == bidi.AL || c == bidi.AN
}

// startsRightToLeft applies rules P2 and P3: the first strong letter decides.
func startsRightToLeft(text []rune) bool {
	for _, r := range text {
		switch class(r) {
		case bidi.L:
			return false
		case bidi.R, bidi.AL:
			return true
		}
	}
	return false
}

// numberPrefix returns how many runes at the head of text belong to a number,
// after rules W4 (one separator between digits) and W5 (signs beside digits).
func numberPrefix(text []rune) int {
	end := 0
	for i, r := range text {
		switch class(r) {
		case bidi.EN, bidi.AN:
			end = i + 1
		case bidi.ET, bidi.NSM:
			if end == i && end > 0 {
				end = i + 1
			}
		case bidi.ES, bidi.CS:
			if i == 0 || class(text[i-1]) != bidi.EN && class(text[i-1]) != bidi.AN {
				return end
			}
		default:
			return end
		}
	}
	return end
}

// visual returns the order in which the letters of a line stand on the paper,
// as indices of level (rule L2). Marks stay behind their letter (rule L3).
func visual(level []uint8, text []rune) []int {
	order := make([]int, len(level))
	for i := range order {
		order[i] = i
	}
	for l := uint8(2); l >= 1; l-- {
		for i := 0; i < len(level); {
			if level[i] < l {
				i++
				continue
			}
			end := i
			for end < len(level) && level[end] >= l {
				end++
			}
			slices.Reverse(order[i:end])
			i = end
		}
	}
	return marksBehind(order, level, text)
}

// marksBehind turns each "mark, letter" of reversed text back into "letter,
// mark".
func marksBehind(order []int, level []uint8, text []rune) []int {
	for i := 0; i < len(order); i++ {
		end := i
		for end < len(order) && level[order[end]] == 1 && unicode.Is(unicode.Mn, text[order[end]]) {
			end++
		}
		if end > i && end < len(order) && level[order[end]] == 1 {
			slices.Reverse(order[i : end+1])
			i = end
		}
	}
	return order
}

// mirrored returns the shape of r in right-to-left text (rule L4).
func mirrored(r rune) rune {
	for _, pair := range [...][2]rune{{'<', '>'}, {'«', '»'}, {'‹', '›'}, {'≤', '≥'}} {
		switch r {
		case pair[0]:
			return pair[1]
		case pair[1]:
			return pair[0]
		}
	}
	for _, m := range bidi.ReverseString(string(r)) { // knows the brackets
		return m
	}
	return r
}

package paper

import (
	"fmt"
	"strings"
)

// piece is one part of a label: its words, and how they are set.
type piece struct {
	what   string // as an error names it
	text   string
	weight weight
	share  float64 // of the size of the body's type
	least  float64 // points; not smaller even where the body is
	corner bool    // it stands at the right of the one before, if it is narrow
}

func (p piece) style(points float64) style {
	return style{points: max(points*p.share, p.least), weight: p.weight, colour: ink}
}

const titleShare = 1.35 // the name, of the body's type

// pieces are the parts of a label from top to bottom: what one looks for, what
// one must know, then what one may have to look up.
func (l Label) pieces(h heights) []piece {
	content := piece{what: "net content", text: l.Content.Text, weight: bold, share: 1, corner: true}
	if l.Content.Needed {
		content.least = l.Content.FigureMM / h.figure / mmPerPoint
	}
	all := []piece{
		{what: "name", text: l.Title, weight: bold, share: titleShare},
		content,
		{what: "what it is", text: joined(l.Function, l.Strength), share: 1},
		{what: "cautions", text: strings.Join(l.Short, " "), weight: bold, share: 1},
		{what: "ingredients", text: led("Ingredients: ", strings.Join(l.Ingredients, ", ")), share: 1},
		{what: "how long it keeps", text: l.keeps(), weight: bold, share: 1},
		{what: "batch", text: l.batch(), share: 1},
		{what: "maker", text: led("Made by ", l.Responsible), share: 1},
	}
	var said []piece
	for _, p := range all {
		if strings.TrimSpace(p.text) != "" {
			said = append(said, p)
		}
	}
	return said
}

// keeps says in words how long the bottle keeps. Beyond 30 months the period after
// opening stands in place of a date (Regulation (EC) No 1223/2009, Article
// 19(1)(c)); the sign of the open jar, which must stand beside it where oil is
// sold, is no letter of any font and is left to the maker.
func (l Label) keeps() string {
	if l.Mark.BestBefore || l.Mark.By.IsZero() {
		return l.Mark.Text
	}
	if l.Mark.OpenMonths == 1 {
		return "Use within 1 month of opening."
	}
	return fmt.Sprintf("Use within %d months of opening.", l.Mark.OpenMonths)
}

// batch leads back to the record: number, bottle and day.
func (l Label) batch() string {
	var parts []string
	if l.Number != "" {
		parts = append(parts, "Batch "+l.Number)
	}
	if l.Bottle != "" {
		parts = append(parts, "bottle "+strings.TrimPrefix(l.Bottle, l.Number+"/"))
	}
	if !l.Made.IsZero() {
		// The month is in letters, for 03/04 is two dates, and the day stays with its word.
		parts = append(parts, "made\u00a0"+l.Made.Format("2\u00a0January\u00a02006"))
	}
	return strings.Join(parts, ", ")
}

// led puts words before a text, if there is one.
func led(before, text string) string {
	if strings.TrimSpace(text) == "" {
		return ""
	}
	return before + text
}

// joined puts what is said on one line.
func joined(parts ...string) string {
	said := parts[:0]
	for _, part := range parts {
		if part = strings.TrimSpace(part); part != "" {
			said = append(said, part)
		}
	}
	return strings.Join(said, "; ")
}

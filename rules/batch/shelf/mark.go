package shelf

import (
	"fmt"
	"time"
)

// longMonths: a cosmetic that keeps for more than 30 months bears no date but
// the period after opening, beside the sign of an open jar (Regulation (EC) No
// 1223/2009, Article 19(1)(c)).
const longMonths = 30

// DefaultOpenMonths is how long an opened bottle of oil is taken to keep (common
// practice, no source).
const DefaultOpenMonths = 6

// Mark is how a label tells how long the bottle keeps.
type Mark struct {
	// BestBefore: the date is printed. Otherwise the period after opening is.
	BestBefore bool
	By         time.Time
	OpenMonths int // period after opening
	Text       string
}

// MarkFor returns the mark for a bottle made and good until by. openMonths is
// the period after opening; 0 takes DefaultOpenMonths.
func MarkFor(made, by time.Time, openMonths int) Mark {
	if openMonths <= 0 {
		openMonths = DefaultOpenMonths
	}
	made, by = dayOf(made), dayOf(by)
	switch {
	case made.IsZero() || by.IsZero():
		return Mark{OpenMonths: openMonths, Text: "No date: it is not known when this was made."}
	case by.After(AddMonths(made, longMonths)):
		return Mark{OpenMonths: openMonths, By: by, Text: fmt.Sprintf("%dM", openMonths)}
	}
	// Day, month and year: the month alone would mean its end, which may be later
	// than the oil's date. The month is in letters, for 03/04 is two dates.
	return Mark{BestBefore: true, By: by, OpenMonths: openMonths, Text: "Best used before the end of: " + by.Format("2 January 2006")}
}

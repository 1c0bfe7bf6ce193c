package shelf

import "time"

// Day returns a date.
func Day(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// dayOf drops the hours of t, by its own clock.
func dayOf(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return Day(t.Date())
}

// AddMonths returns the date n months later: the same day of the month, or the
// last one where that month is shorter.
func AddMonths(t time.Time, n int) time.Time {
	y, m, d := t.Date()
	first := Day(y, m+time.Month(n), 1)
	last := Day(first.Year(), first.Month()+1, 0).Day()
	return Day(first.Year(), first.Month(), min(d, last))
}

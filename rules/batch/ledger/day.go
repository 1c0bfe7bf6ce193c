package ledger

import (
	"fmt"
	"strconv"
	"time"
)

// Day is a day of the calendar. The zero Day is one that nobody gave.
type Day time.Time

// ParseDay reads a day such as 2027-05-31.
func ParseDay(s string) (Day, error) {
	wrong := fmt.Errorf("day %q: want year, month and day, such as 2027-05-31", s)
	if len(s) != len(time.DateOnly) || s[4] != '-' || s[7] != '-' {
		return Day{}, wrong
	}
	year, errYear := strconv.Atoi(s[:4])
	month, errMonth := strconv.Atoi(s[5:7])
	day, errDay := strconv.Atoi(s[8:])
	d := Day(time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC))
	// A day that is in no calendar, the 31st of June, comes back as another.
	if errYear != nil || errMonth != nil || errDay != nil || d.String() != s {
		return Day{}, wrong
	}
	return d, nil
}

// DayOf returns the day of t in UTC.
func DayOf(t time.Time) Day { return DayAt(t.UTC()) }

// DayAt returns the day of t where t's own clock is.
func DayAt(t time.Time) Day {
	y, m, d := t.Date()
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC))
}

// Time returns midnight, UTC, at which the day begins.
func (d Day) Time() time.Time { return time.Time(d) }

// IsZero reports whether nobody gave the day.
func (d Day) IsZero() bool { return d.Time().IsZero() }

// Before reports whether d comes before o.
func (d Day) Before(o Day) bool { return d.Time().Before(o.Time()) }

func (d Day) String() string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

// MarshalText writes the day as ParseDay reads it; the zero Day is empty.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (d *Day) UnmarshalText(text []byte) (err error) {
	*d = Day{}
	if len(text) > 0 {
		*d, err = ParseDay(string(text))
	}
	return err
}

package trace

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// parseTime reads an RFC 3339 time, whose letters may be small, into UTC.
func parseTime(cell string) (time.Time, error) {
	if cell == "" {
		return time.Time{}, errors.New("empty: each row needs its time, such as 2026-03-01T09:00:00Z")
	}
	text := strings.ToUpper(cell)
	var t time.Time
	if !shapedAsRFC3339(text) || t.UnmarshalText([]byte(text)) != nil {
		if len(cell) > 19 && cell[16:19] == ":60" {
			return time.Time{}, fmt.Errorf("%q is a leap second, which no hold is counted with: write it as second 59", cell)
		}
		return time.Time{}, fmt.Errorf("%q is not an RFC 3339 time with its zone, such as 2026-03-01T09:00:00Z", cell)
	}
	t = t.UTC()
	if t.Year() < 0 || t.Year() > 9999 {
		return time.Time{}, fmt.Errorf("%q is not within the years 0 to 9999 in UTC", cell)
	}
	return t, nil
}

// shapedAsRFC3339 reports whether text has the form of RFC 3339 section 5.6 in
// capitals. UnmarshalText checks the numbers, but lets pass hours of one digit,
// a comma before the fraction and zones of more than a day (go.dev/issue/54580).
func shapedAsRFC3339(text string) bool {
	rest, ok := cutShape(text, "0000-00-00T00:00:00")
	if !ok {
		return false
	}
	if fraction, found := strings.CutPrefix(rest, "."); found {
		rest = strings.TrimLeft(fraction, "0123456789")
		if len(rest) == len(fraction) {
			return false
		}
	}
	if rest == "Z" {
		return true
	}
	for _, zone := range []string{"+00:00", "-00:00"} {
		if end, ok := cutShape(rest, zone); ok {
			return end == "" && rest[1:3] <= "23" && rest[4:6] <= "59"
		}
	}
	return false
}

// cutShape takes from text what has the given shape, in which 0 stands for any
// digit, and returns the rest.
func cutShape(text, shape string) (rest string, ok bool) {
	if len(text) < len(shape) {
		return "", false
	}
	for i := range len(shape) {
		isDigit := text[i] >= '0' && text[i] <= '9'
		if shape[i] == '0' && !isDigit || shape[i] != '0' && text[i] != shape[i] {
			return "", false
		}
	}
	return text[len(shape):], true
}

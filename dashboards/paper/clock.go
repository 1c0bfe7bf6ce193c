package paper

import (
	"strings"
	"time"
)

// stamp writes an instant with its day.
func (s *BatchSheet) stamp(t time.Time) string { return s.told(t, "2006-01-02 15:04") }

// clock writes the time of day, with the day if it is not that of the batch.
func (s *BatchSheet) clock(t time.Time) string {
	if t.Format(time.DateOnly) == s.Made.Format(time.DateOnly) {
		return s.told(t, "15:04:05")
	}
	return s.told(t, "2006-01-02 15:04:05")
}

// told writes an instant as its own clock shows it. Where clocks were changed
// meanwhile, two instants may show the same time: then each says how far it is ahead
// of UTC.
func (s *BatchSheet) told(t time.Time, layout string) string {
	if t.IsZero() {
		return notEntered
	}
	if s.changes {
		layout += " -07:00"
	}
	return t.Format(layout)
}

// zoneWords says by which clock times are told.
func (s *BatchSheet) zoneWords() string {
	zone := strings.TrimSpace(s.Zone)
	if s.changes {
		if zone != "" {
			zone = " of " + zone
		}
		return "The clocks" + zone + " were changed meanwhile: beside each time stands how far it is ahead of UTC."
	}
	_, offset := s.Made.Zone()
	ahead := "UTC"
	if offset != 0 {
		ahead += s.Made.Format("-07:00")
	}
	if zone == "" || zone == "UTC" && offset == 0 {
		return "Times are " + ahead + "."
	}
	return "Times are those of " + zone + ", " + ahead + "."
}

// clocksChange reports whether the times on the sheet are not all of one offset.
func (s *BatchSheet) clocksChange() bool {
	_, first := s.Made.Zone()
	for _, t := range s.instants() {
		if _, offset := t.Zone(); !t.IsZero() && offset != first {
			return true
		}
	}
	return false
}

// instants are all times that are printed.
func (s *BatchSheet) instants() []time.Time {
	all := []time.Time{s.AsOf, s.Times.Fill, s.Times.Lit, s.Times.Floor, s.Times.Held, s.Times.Strain, s.Times.Bottle, s.MadeBy.At, s.ReviewedBy.At}
	for _, c := range s.Checks {
		if c.Done {
			all = append(all, c.At)
		}
	}
	for _, m := range s.Macerations {
		all = append(all, m.From, m.To)
	}
	for _, a := range s.Alarms {
		all = append(all, a.Raised)
	}
	for _, d := range s.Deviations {
		all = append(all, d.At)
	}
	for _, d := range s.Deeds {
		all = append(all, d.At)
	}
	return all
}

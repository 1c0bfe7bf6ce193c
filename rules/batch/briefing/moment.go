package briefing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"bainward/rules/batch"
	"bainward/rules/batch/amount"
)

// Moment is something that comes, by the clock of Lit's zone.
type Moment struct {
	Key      string     `json:"moment"` // light, boil, floor, top-up, end, all
	Text     string     `json:"text"`
	Clock    string     `json:"clock"`  // the likely time
	Spread   string     `json:"spread"` // earliest and latest; empty for one time
	AfterS   Range      `json:"after_s"`
	Likely   time.Time  `json:"likely"`
	Earliest time.Time  `json:"earliest"`
	Latest   *time.Time `json:"latest"` // nil: it may not come at all
}

// moments lists what comes when, from the lighting on. It is empty when no time
// can be told at all.
func moments(p *batch.Plan, lit time.Time) []Moment {
	t := &p.Times
	if !t.Boil.Known() {
		return nil
	}
	var all []Moment
	add := func(key, text string, r amount.Range) {
		if r.Known() {
			all = append(all, momentOf(lit, key, text, r))
		}
	}
	add("light", "Light the heat. From now on somebody stays.", amount.Exactly(0))
	add("boil", "The water boils: turn down to a simmer.", t.Boil)
	add("floor", "The oil is at its floor: the hold begins to count.", t.Hold)
	for i, due := range t.TopUps {
		add("top-up", fmt.Sprintf("Water is due (no. %d): pour in hot water.", i+1), due)
	}
	if p.Ask.Recipe.Complete().Macerations == 1 {
		add("end", "The hold is done: heat off, then strain.", t.End)
	} else {
		add("end", "The hold of the first maceration is done: heat off, strain, fresh herb into the same oil.", t.End)
		add("all", "The last maceration is done: heat off, then strain. Water is due in each as in the first.", t.All)
	}
	slices.SortStableFunc(all, func(a, b Moment) int { return cmp.Compare(a.AfterS.P50, b.AfterS.P50) })
	if last := all[len(all)-1]; last.Key == "end" || last.Key == "all" {
		all[0].Text = fmt.Sprintf("Light the heat. From now on somebody stays, until about %s.", last.Clock)
	}
	return all
}

func momentOf(lit time.Time, key, text string, r amount.Range) Moment {
	m := Moment{Key: key, Text: text, AfterS: rangeOf(r), Likely: after(lit, r.P50), Earliest: after(lit, r.P10)}
	m.Clock = clock(m.Likely) + day(m.Likely, lit)
	early := clock(m.Earliest)
	if math.IsInf(r.P90, 1) {
		m.Spread = early + " or later"
		return m
	}
	latest := after(lit, r.P90)
	m.Latest = &latest
	if late := clock(latest); early != late {
		m.Spread = early + " to " + late
	}
	return m
}

// after is the instant s after lit, to the second.
func after(lit time.Time, s float64) time.Time {
	return lit.Add(time.Duration(math.Round(s)) * time.Second)
}

// nearest rounds to the minute, as a kitchen clock shows it.
func nearest(t time.Time) time.Time { return t.Add(30 * time.Second) }

func clock(t time.Time) string { return nearest(t).Format("15:04") }

// day says on which day after the lighting t is; nothing if on the same.
func day(t, lit time.Time) string {
	date := func(t time.Time) time.Time { return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC) }
	switch days := int(date(nearest(t)).Sub(date(lit)) / (24 * time.Hour)); days {
	case 0:
		return ""
	case 1:
		return " the next day"
	default:
		return fmt.Sprintf(" %d days later", days)
	}
}

// ParseClock reads a time of day such as 09:00 as the one that is next to now,
// in now's zone: today's, or tomorrow's if today's is more than an hour ago.
func ParseClock(s string, now time.Time) (time.Time, error) {
	h, m, found := strings.Cut(strings.TrimSpace(s), ":")
	hour, errH := strconv.ParseUint(h, 10, 8)
	minute, errM := strconv.ParseUint(m, 10, 8)
	if !found || errH != nil || errM != nil || len(h) > 2 || len(m) != 2 || hour > 23 || minute > 59 {
		return time.Time{}, fmt.Errorf("lit at %q: want a time of day such as 09:00", s)
	}
	t := time.Date(now.Year(), now.Month(), now.Day(), int(hour), int(minute), 0, 0, now.Location())
	if now.Sub(t) > time.Hour {
		t = time.Date(now.Year(), now.Month(), now.Day()+1, int(hour), int(minute), 0, 0, now.Location())
	}
	return t, nil
}

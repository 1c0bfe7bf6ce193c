package ledger

import (
	"slices"
	"strconv"
	"strings"
)

// Status is how a bottle stands.
type Status string

// The statuses.
const (
	Full       Status = "full"
	Begun      Status = "begun" // some went
	Empty      Status = "empty"
	RancidLeft Status = "rancid" // and not thrown away yet
)

// Bottle is one bottle as it stands after all that is in the books.
type Bottle struct {
	ID       string  `json:"bottle"`
	Batch    string  `json:"batch"`
	Number   int     `json:"number"`
	Status   Status  `json:"status"`
	Filled   Day     `json:"filled"`
	FilledMl float64 `json:"filled_ml"` // FilledMl = LeftMl + all that was given, at AtC
	LeftMl   float64 `json:"left_ml"`
	AtC      float64 `json:"at_c,omitzero"`
	Place    Place   `json:"place"` // where it stands, or last stood
	Label    bool    `json:"label"`
	UseBy    Day     `json:"use_by"`
	UseByWhy string  `json:"use_by_why"`
	// CheckDue is the day from which somebody should smell at it again.
	CheckDue Day `json:"check_due,omitzero"`
	// Sooner is by how many days that is earlier, for it stood warmer than its place
	// should be.
	Sooner int     `json:"check_days_sooner,omitzero"`
	Places []Stay  `json:"places"`
	Given  []Gift  `json:"given"`
	Checks []Check `json:"checks"`
	notes  []string
}

// Kept is how warm it was where the bottle stands, since it came there; nil: nobody
// measured it.
func (o Bottle) Kept() *Kept {
	if len(o.Places) == 0 {
		return nil
	}
	return o.Places[len(o.Places)-1].Kept
}

// SoonerWords says why somebody should smell at it sooner than usual; empty: not.
func (o Bottle) SoonerWords() string {
	switch o.Sooner {
	case 0:
		return ""
	case 1:
		return "a day sooner, for it stood warmer than it should"
	}
	return strconv.Itoa(o.Sooner) + " days sooner, for it stood warmer than it should"
}

// Notes are what a person should know beside the date.
func (o Bottle) Notes() []string { return o.notes }

func (l *Ledger) shown(o *bottle) Bottle {
	b := l.batches[o.batch]
	date := b.useBy(o)
	out := Bottle{
		ID: o.id(), Batch: o.batch, Number: o.number, Status: o.status(), Filled: o.filled.Day,
		FilledMl: o.volume.ml(), LeftMl: o.left.ml(), AtC: o.filled.Fact.AtC,
		Place: o.stays[len(o.stays)-1].Place, Label: o.filled.Fact.Label,
		UseBy: Day(date.By), UseByWhy: date.Source, notes: date.Notes,
		// Never nil: programs find an empty list there.
		Places: append([]Stay{}, o.stays...), Given: append([]Gift{}, o.gifts...), Checks: append([]Check{}, o.checks...),
	}
	if out.Status == Full || out.Status == Begun {
		out.CheckDue, out.Sooner = l.smellAgain(o)
	}
	for i := range out.Places {
		out.Places[i].Kept = l.stood(o, i)
	}
	return out
}

func (o *bottle) status() Status {
	switch {
	case o.left == 0:
		return Empty
	case o.rancid():
		return RancidLeft
	case o.left < o.volume:
		return Begun
	}
	return Full
}

// Bottle returns one bottle by its name, such as 2026-03-01-north-1/3. The error
// is an *UnknownError.
func (l *Ledger) Bottle(id string) (Bottle, error) {
	if o := l.bottle(id); o != nil {
		return l.shown(o), nil
	}
	if number, n, ok := ParseBottle(id); ok && l.batches[number] != nil {
		return Bottle{}, l.batches[number].noBottle(number, n)
	}
	return Bottle{}, l.unknown("bottle", id, l.bottleNames())
}

// Shelf returns every bottle in which something is left, batch by batch.
func (l *Ledger) Shelf() []Bottle {
	all := []Bottle{}
	for _, number := range l.batchNumbers() {
		for _, o := range l.batches[number].bottles {
			if o.left > 0 {
				all = append(all, l.shown(o))
			}
		}
	}
	return all
}

// Due is a bottle that wants something done.
type Due struct {
	Bottle Bottle `json:"bottle"`
	Why    string `json:"why"`
}

// Due returns the bottles that want something done on a day: rancid and past
// ones first, then those that nobody has smelled at for three months (common
// practice, no source), the longest waiting first.
func (l *Ledger) Due(today Day) []Due {
	due := []Due{}
	for _, o := range l.Shelf() {
		if why := o.wants(today); why != "" {
			due = append(due, Due{o, why})
		}
	}
	slices.SortStableFunc(due, func(a, b Due) int {
		return a.Bottle.CheckDue.Time().Compare(b.Bottle.CheckDue.Time())
	})
	slices.SortStableFunc(due, func(a, b Due) int { return rank(a.Bottle, today) - rank(b.Bottle, today) })
	return due
}

func (o Bottle) wants(today Day) string {
	switch {
	case o.Status == RancidLeft:
		return "it was found rancid: throw it away"
	case o.UseBy.Before(today):
		return "it was good until " + o.UseBy.String() + ": throw it away"
	case !today.Before(o.CheckDue):
		why := "smell at it: nobody has since " + o.smelledLast().String()
		if o.Sooner > 0 {
			why += ", and it stood warmer than it should"
		}
		return why
	}
	return ""
}

// smelledLast is the day of the last check, else that of the filling.
func (o Bottle) smelledLast() Day {
	if n := len(o.Checks); n > 0 {
		return o.Checks[n-1].Day
	}
	return o.Filled
}

func rank(o Bottle, today Day) int {
	switch {
	case o.Status == RancidLeft:
		return 0
	case o.UseBy.Before(today):
		return 1
	}
	return 2
}

func rounds(ml float64) string { return strconv.FormatFloat(ml, 'f', -1, 64) + " ml" }

// muchWords says how much of a product went, as far as somebody said so.
func muchWords(f Given) string {
	if f.All {
		return "all"
	}
	return strings.TrimSpace(f.Quantity.String())
}

package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/batch/label"
	"bainward/rules/batch/ledger"
	keeping "bainward/rules/batch/shelf"
)

// LabelChoice is which labels of a batch are wanted.
type LabelChoice struct {
	Bottles []int // their numbers in the batch; none: all that have something good left
	Blank   int   // so many without a bottle's number, in place of those
}

// maxLabels is more than anybody prints at once; more is a slip.
const maxLabels = 1000

func (c LabelChoice) check() error {
	switch {
	case c.Blank > 0 && len(c.Bottles) > 0:
		return errors.New("labels: name bottles or ask for some without a number, not both")
	case c.Blank < 0 || c.Blank > maxLabels:
		return fmt.Errorf("labels: %d without a number: want at most %d", c.Blank, maxLabels)
	}
	return nil
}

// BottleLabel is the label of one bottle.
type BottleLabel struct {
	Bottle string    // its name, such as 2026-03-01-north-1/3; empty: none is written
	Made   time.Time // the day on which the batch was begun
	label.Label
}

// ReadLabels makes the labels of a batch, from the record and from who answers for
// the oil in the site file; s may be nil. dated is the wall time of the last entry
// that went in, so that the same record gives the same labels at any time.
//
// The error is a *ledger.UnknownError if there is no such batch or bottle.
func ReadLabels(ctx context.Context, r *record.Reader, s *site.Site, number string, c LabelChoice) (labels []BottleLabel, dated time.Time, err error) {
	if err := c.check(); err != nil {
		return nil, dated, err
	}
	b, err := readBottled(ctx, r, s, number)
	if err != nil {
		return nil, dated, err
	}
	labels, err = b.labels(c)
	return labels, b.dated(), err
}

func (b bottled) labels(c LabelChoice) (labels []BottleLabel, err error) {
	if c.Blank > 0 {
		one, err := b.blank()
		if err != nil {
			return nil, err
		}
		return slices.Repeat([]BottleLabel{{Made: b.account.Made.Time(), Label: one}}, c.Blank), nil
	}
	chosen, err := b.chosen(c)
	if err != nil {
		return nil, err
	}
	for _, o := range chosen {
		labels = append(labels, BottleLabel{Bottle: o.ID, Made: b.account.Made.Time(), Label: b.label(o)})
	}
	return labels, nil
}

// bottled is what the labels of one batch are made from.
type bottled struct {
	account ledger.Account
	water   ledger.Seen
	made    madeOf
	units   rules.Units
	maker   site.Maker
	used    usedEntry
}

// readBottled reads what the labels of a batch need. s may be nil: then nobody
// answers for the oil, and the units are those of the record.
func readBottled(ctx context.Context, r *record.Reader, s *site.Site, number string) (b bottled, err error) {
	books, _, err := ReadBooks(ctx, r) // what does not fit there is told by whoever keeps them
	if err != nil {
		return b, err
	}
	if b.account, err = books.Account(number); err != nil {
		return b, err
	}
	facts, used, err := factsOf(ctx, r, number)
	if err != nil {
		return b, err
	}
	b.water, b.used, b.made = waterSeen(facts), used, madeFrom(b.account)
	if s != nil {
		b.units, b.maker = s.Units, s.Maker
		return b, nil
	}
	b.units, err = recordedUnits(ctx, r, number)
	return b, err
}

// recordedUnits are those that the record names for a batch.
func recordedUnits(ctx context.Context, r *record.Reader, number string) (rules.Units, error) {
	b, _, err := findBatch(ctx, r, number)
	if err != nil {
		return rules.Metric, err
	}
	for e, err := range r.OfBatch(ctx, b) { // its config stands first
		var c record.Config
		if err != nil || e.Kind != record.KindConfig {
			return rules.Metric, err
		}
		err = e.Decode(&c)
		return c.Units, err
	}
	return rules.Metric, nil
}

// chosen returns the bottles that are to have labels.
func (b bottled) chosen(c LabelChoice) ([]ledger.Bottle, error) {
	if len(c.Bottles) == 0 {
		var all []ledger.Bottle
		for _, o := range b.account.Bottles {
			if o.Status == ledger.Full || o.Status == ledger.Begun {
				all = append(all, o)
			}
		}
		if len(all) == 0 {
			return nil, fmt.Errorf("labels of batch %s: no bottle of it has anything good left; enter what was filled, name bottles, or ask for labels without a number", b.account.Batch)
		}
		return all, nil
	}
	var all []ledger.Bottle
	for _, n := range c.Bottles {
		o, err := b.bottle(n)
		if err != nil {
			return nil, err
		}
		if o.Status == ledger.RancidLeft {
			return nil, fmt.Errorf("labels: bottle %s was found rancid: throw it away, it gets no label", o.ID)
		}
		all = append(all, o)
	}
	return all, nil
}

func (b bottled) bottle(n int) (ledger.Bottle, error) {
	for _, o := range b.account.Bottles {
		if o.Number == n {
			return o, nil
		}
	}
	hint := fmt.Sprintf("batch %s has none yet", b.account.Batch)
	if all := b.account.Bottles; len(all) > 0 {
		hint = fmt.Sprintf("batch %s has %d, numbered %d to %d", b.account.Batch, len(all), all[0].Number, all[len(all)-1].Number)
	}
	return ledger.Bottle{}, &ledger.UnknownError{What: "bottle", Name: ledger.BottleID(b.account.Batch, n), Hint: hint}
}

// label makes the label of a bottle. Its date is never later than that of the base
// oil, nor than what the books reckon from where the bottle stood.
func (b bottled) label(o ledger.Bottle) label.Label {
	storage, _ := o.Place.Storage()
	made := label.Batch{
		Number: b.account.Batch, Responsible: b.maker.Responsible(),
		Herbs: b.made.herbs, Oils: b.made.oils, Additions: b.made.others,
		Units: b.units, GivenAway: true, Strength: strengthWords(b.account.Strength),
		Keeps: keeping.Bottles{
			Made: b.account.Made.Time(), Storage: storage, OilBest: b.account.OilBest().Time(), Fresh: b.made.fresh, Water: waterOf(b.water),
		},
	}
	if o.AtC == 0 {
		made.BottleKg = o.Kg(b.account.Oil()).P50
	} else {
		made.BottleMl, made.BottleAtC = o.FilledMl, o.AtC
	}
	l := label.Make(made)
	if by := o.UseBy.Time(); !o.UseBy.IsZero() && by.Before(l.Date.By) {
		l.Date.By, l.Date.Source = by, o.UseByWhy
		l.Mark = keeping.MarkFor(b.account.Made.Time(), by, 0)
	}
	for _, p := range b.made.others {
		// An ingredient that is missing on a label does harm, one too many does not.
		l.Missing = append(l.Missing, fmt.Sprintf("whether %q is in the oil: it was entered beside herb and oil, and is on the list of ingredients", p.Name))
	}
	return l
}

// blank makes a label without a bottle. It is that of the bottle that keeps the
// shortest; where none was filled yet it promises no content, and the date of the
// warmest place.
func (b bottled) blank() (label.Label, error) {
	all := b.account.Bottles
	if len(all) == 0 {
		l := b.label(ledger.Bottle{Place: ledger.Room})
		l.Content = label.Content{}
		return l, nil
	}
	worst := all[0]
	for _, o := range all[1:] {
		if o.FilledMl != worst.FilledMl {
			return label.Label{}, fmt.Errorf("labels of batch %s: its bottles hold %g and %g ml, so that one label cannot be for all; name bottles", b.account.Batch, worst.FilledMl, o.FilledMl)
		}
		if o.UseBy.Before(worst.UseBy) {
			worst = o
		}
	}
	return b.label(worst), nil
}

func waterOf(s ledger.Seen) keeping.Water {
	switch s {
	case ledger.NoWater:
		return keeping.WaterGone
	case ledger.WaterIn:
		return keeping.WaterLeft
	}
	return keeping.WaterUnknown
}

// strengthWords says the strength in the space of a label; nothing if it is not
// known.
func strengthWords(s ledger.Strength) string {
	if s.OneTo == nil {
		return ""
	}
	words := fmt.Sprintf("1 part of dry herb to %.1f of oil", s.OneTo.P50)
	if !s.Result.AllWeighed {
		return "about " + words
	}
	return words
}

// dated is the wall time of the last entry that the labels rest on.
func (b bottled) dated() time.Time {
	if b.used.seq == 0 {
		return b.account.Opened
	}
	return b.used.wall
}

package ledger

import (
	"time"

	"bainward/rules"
	"bainward/rules/batch/strength"
)

// Account is all that the books hold of one batch.
type Account struct {
	Batch      string               `json:"batch"`
	Bath       string               `json:"bath"`
	Recipe     string               `json:"recipe"`
	Opened     time.Time            `json:"opened"`
	Made       Day                  `json:"made"` // the day of Opened at the site
	Closed     time.Time            `json:"closed,omitzero"`
	Verdict    string               `json:"verdict"` // a word of rules.Verdict
	Materials  []Entered[Material]  `json:"materials"`
	Weighings  []Entered[Weighing]  `json:"weighings"`
	Balance    Balance              `json:"balance"`
	Strength   Strength             `json:"strength"`
	Bottles    []Bottle             `json:"bottles"`
	Products   []string             `json:"products"` // that anything of it went into
	Deviations []Entered[Deviation] `json:"deviations"`
}

// Strength is how strong the oil is: see package strength for what each figure
// is, and is not.
type Strength struct {
	OneTo  *Span           `json:"one_to"`         // 1 part of dry herb in so many parts of oil
	PerOil *Span           `json:"per_oil"`        // kg of dry herb behind 1 kg of oil
	DER    *Span           `json:"der"`            // parts of oil obtained to 1 part of dry herb
	Lacks  string          `json:"lacks,omitzero"` // why it cannot be reckoned
	Result strength.Result `json:"-"`
}

// Lines says the strength in sentences.
func (s Strength) Lines(u rules.Units) []string {
	if s.Lacks != "" {
		return []string{"It cannot be reckoned: " + s.Lacks + "."}
	}
	return s.Result.Lines(u)
}

// Account returns the account of a batch. The error is an *UnknownError.
func (l *Ledger) Account(number string) (Account, error) {
	b := l.batches[number]
	if b == nil {
		return Account{}, l.noBatch(number)
	}
	opened := b.opened.Fact.(Opened)
	a := Account{
		Batch: number, Bath: opened.Bath, Recipe: opened.Recipe, Opened: b.opened.When, Made: b.opened.Day, Verdict: rules.Open.String(),
		Materials: append([]Entered[Material]{}, b.materials...), Weighings: append([]Entered[Weighing]{}, b.weighings...),
		Deviations: append([]Entered[Deviation]{}, b.deviations...), Balance: b.balance(), Bottles: []Bottle{}, Products: []string{},
	}
	if c, ok := b.closed.Fact.(Closed); ok {
		a.Closed, a.Verdict = b.closed.When, c.Verdict
	}
	for _, o := range b.bottles {
		a.Bottles = append(a.Bottles, l.shown(o))
	}
	for _, n := range l.from(node{makeNode, number}).nodes {
		if n.kind == makeNode && n.name != number {
			a.Products = append(a.Products, n.name)
		}
	}
	a.Strength = b.shownStrength()
	return a, nil
}

func (b *batch) shownStrength() Strength {
	r, err := b.strength()
	if err != nil {
		return Strength{Lacks: err.Error()}
	}
	return Strength{OneTo: spanOf(r.OneTo), PerOil: spanOf(r.PerOil), DER: spanOf(r.DER), Result: r}
}

// Line is one batch in a list.
type Line struct {
	Batch      string    `json:"batch"`
	Bath       string    `json:"bath"`
	Recipe     string    `json:"recipe"`
	Opened     time.Time `json:"opened"`
	Closed     time.Time `json:"closed,omitzero"`
	Verdict    string    `json:"verdict"`
	Lots       []string  `json:"lots"`
	Bottles    int       `json:"bottles"` // filled
	LeftMl     float64   `json:"left_ml"`
	Deviations int       `json:"deviations"`
	Warnings   int       `json:"warnings"` // of the balance
}

// Batches lists all batches in the order in which they were opened.
func (l *Ledger) Batches() []Line {
	all := []Line{}
	for _, number := range l.batchNumbers() {
		b := l.batches[number]
		opened := b.opened.Fact.(Opened)
		balance := b.balance()
		line := Line{
			Batch: number, Bath: opened.Bath, Recipe: opened.Recipe, Opened: b.opened.When, Verdict: rules.Open.String(), Lots: []string{},
			Bottles: len(b.bottles), LeftMl: balance.LeftMl, Deviations: len(b.deviations), Warnings: len(balance.Warnings),
		}
		if c, ok := b.closed.Fact.(Closed); ok {
			line.Closed, line.Verdict = b.closed.When, c.Verdict
		}
		for _, m := range b.materials {
			line.Lots = append(line.Lots, m.Fact.Lot)
		}
		all = append(all, line)
	}
	return all
}

// Bath returns the bath in which a batch was made, empty if the number is that of
// a product alone.
func (l *Ledger) Bath(number string) string {
	if b := l.batches[number]; b != nil {
		return b.opened.Fact.(Opened).Bath
	}
	return ""
}

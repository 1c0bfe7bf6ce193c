package ledger

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Fact is one thing that happened: Opened, Closed, Material, Weighing, Bottles,
// Moved, Given, Smelled or Deviation. The set is closed.
type Fact interface {
	// Check says what the fact lacks to make sense by itself; whether it fits
	// what happened before is for Ledger.Allows.
	Check() error
	// String says the fact in words, on one line.
	String() string
	// of is the number of the batch, or of the product.
	of() string
}

// Opened is a batch being opened, as the daemon does it.
type Opened struct {
	Batch  string `json:"batch"`
	Bath   string `json:"bath"`
	Recipe string `json:"recipe"`
}

// Closed is a batch being closed.
type Closed struct {
	Batch   string `json:"batch"`
	Verdict string `json:"verdict"` // a word of rules.Verdict
}

// What tells what a material is.
type What string

// The kinds of material. Other is everything that is neither herb nor oil:
// vitamin E, or the bottles themselves.
const (
	Herb  What = "herb"
	Oil   What = "oil"
	Other What = "other"
)

// State tells in which state a herb was weighed.
type State string

// The states of a herb.
const (
	Fresh State = "fresh"
	Dried State = "dried"
)

// Material is something that went into a batch.
type Material struct {
	Batch string `json:"batch"`
	What  What   `json:"what"`
	Name  string `json:"name"` // as recipes name it: "Plantago lanceolata, leaf", "sunflower"
	// Lot is the supplier's number, or where and when a herb was picked; for an oil
	// that was made here, its bottle.
	Lot        string  `json:"lot"`
	BestBefore Day     `json:"best_before,omitzero"` // as its label says
	Quantity   Amount  `json:"quantity"`
	AtC        float64 `json:"at_c,omitzero"`  // at which a volume was measured, °C
	State      State   `json:"state,omitzero"` // of a herb
	Pass       int     `json:"pass,omitzero"`  // which maceration, from 1; 0: the first
}

// Weighed tells what was weighed.
type Weighed string

// What is weighed of a batch. OilIn is the oil in the dish when a maceration
// begins; OilOut what came out of it, once its water was poured off; Water that
// water; Marc the spent herb with the oil in it.
const (
	OilIn  Weighed = "oil-in"
	Marc   Weighed = "marc"
	OilOut Weighed = "oil-out"
	Water  Weighed = "water"
)

// Weighing is something that was put on the scale. Several of the same add up:
// oil is weighed jug by jug.
type Weighing struct {
	Batch    string  `json:"batch"`
	What     Weighed `json:"what"`
	Quantity Amount  `json:"quantity"`
	Within   Amount  `json:"within,omitzero"` // the scale's doubt; none: 2 g
	Pass     int     `json:"pass,omitzero"`   // which maceration, from 1; 0: the first
}

// Deviation is something that went another way than the sheet says.
type Deviation struct {
	Batch       string `json:"batch"`
	Text        string `json:"text"`
	Explanation string `json:"explanation,omitzero"` // what came of it, and why the batch is good all the same
}

// Of returns the number of the batch, or of the product, that a fact is about.
func Of(f Fact) string { return f.of() }

func (f Opened) of() string    { return f.Batch }
func (f Closed) of() string    { return f.Batch }
func (f Material) of() string  { return f.Batch }
func (f Weighing) of() string  { return f.Batch }
func (f Deviation) of() string { return f.Batch }

// Check implements Fact.
func (f Opened) Check() error { return named(f.Batch) }

// Check implements Fact.
func (f Closed) Check() error { return named(f.Batch) }

// Check implements Fact.
func (f Material) Check() error {
	if err := errors.Join(named(f.Batch), line("name", f.Name), line("lot", f.Lot)); err != nil {
		return err
	}
	switch {
	case f.What != Herb && f.What != Oil && f.What != Other:
		return fmt.Errorf("material %q is %q: want %s, %s or %s", f.Name, f.What, Herb, Oil, Other)
	case f.Name == "":
		return errors.New("the material has no name")
	case f.Lot == "":
		return fmt.Errorf("%s has no lot: give the supplier's number, or where and when it was picked", f.Name)
	case f.Quantity.IsZero():
		return fmt.Errorf("how much %s was it? Give a quantity, such as 220 g", f.Name)
	case f.What == Herb && f.Quantity.isVolume():
		return fmt.Errorf("%s of %s: herb is weighed", f.Quantity, f.Name)
	case f.What == Herb && f.State != Fresh && f.State != Dried:
		return fmt.Errorf("%s is %q: want %s or %s", f.Name, f.State, Fresh, Dried)
	case f.What != Herb && f.State != "":
		return fmt.Errorf("%s is no herb and cannot be %q", f.Name, f.State)
	case f.What == Oil && f.Quantity.isVolume() && f.AtC == 0:
		return fmt.Errorf("%s of %s: a volume needs the temperature at which it was measured (at_c)", f.Quantity, f.Name)
	}
	return errors.Join(measuredAt(f.AtC), passed(f.Pass))
}

// Check implements Fact.
func (f Weighing) Check() error {
	if err := named(f.Batch); err != nil {
		return err
	}
	switch {
	case f.What != OilIn && f.What != Marc && f.What != OilOut && f.What != Water:
		return fmt.Errorf("weighing of %q: want %s, %s, %s or %s", f.What, OilIn, Marc, OilOut, Water)
	case f.Quantity.IsZero() || f.Quantity.isVolume():
		return fmt.Errorf("weighing of %s, %q: want a mass, such as 640 g", f.What, f.Quantity)
	case f.Within.isVolume():
		return fmt.Errorf("weighing of %s within %q: want a mass, such as 1 g", f.What, f.Within)
	}
	return passed(f.Pass)
}

// Check implements Fact.
func (f Deviation) Check() error {
	if f.Text == "" {
		return errors.New("the deviation says nothing: write what went another way")
	}
	return errors.Join(named(f.Batch), line("text", f.Text), line("explanation", f.Explanation))
}

func named(number string) error {
	if number == "" {
		return errors.New("no batch is named")
	}
	return line("batch", number)
}

// maxText is more than a person writes, in characters.
const maxText = 500

func line(what, text string) error {
	switch {
	case !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl):
		return fmt.Errorf("%s %q: write it on one line, without control characters", what, text)
	case utf8.RuneCountInString(text) > maxText:
		return fmt.Errorf("%s is longer than %d characters", what, maxText)
	case strings.TrimSpace(text) != text:
		return fmt.Errorf("%s %q begins or ends with a space", what, text)
	}
	return nil
}

// maxPass is more macerations than any oil bears.
const maxPass = 20

func passed(n int) error {
	if n < 0 || n > maxPass {
		return fmt.Errorf("maceration %d: they count from 1", n)
	}
	return nil
}

// measuredAt bounds the temperature at which somebody measures oil, °C.
func measuredAt(c float64) error {
	if !(c >= -10 && c <= 150) {
		return fmt.Errorf("measured at %g °C: want the temperature of the oil in °C", c)
	}
	return nil
}

package label

import (
	"fmt"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/batch/cautions"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/shelf"
)

// Batch is what a label is made from.
type Batch struct {
	Name        string // of the product; "": made from herb and oil
	Number      string // see Number
	Responsible string // name and address of who answers for it
	Herbs       []Part
	Oils        []Part
	Additions   []Part  // by the name of the ingredient list, such as Tocopherol
	BottleKg    float64 // oil in one bottle, weighed
	BottleMl    float64 // or the volume to which it was filled,
	BottleAtC   float64 // at this temperature, °C
	Units       rules.Units
	Keeps       shelf.Bottles
	OpenMonths  int // period after opening; 0: the usual
	GivenAway   bool
	Strength    string // as strength.Result says it; "": not known
}

// Label is what stands on the bottle.
type Label struct {
	Title       string
	Function    string
	Ingredients []string
	Content     Content
	Mark        shelf.Mark
	Number      string
	Responsible string
	Strength    string
	Short       []string           // cautions for the bottle
	Cautions    []cautions.Caution // all of them, for the sheet
	Date        shelf.Date
	// Missing is what the label lacks, in words: what nobody said, and names
	// that are in no table.
	Missing []string
}

// Make gathers a label. It never fails: what is not known is in Missing.
func Make(b Batch) Label {
	list, unsure := Ingredients(b.Oils, b.Additions, b.Herbs)
	date := shelf.UseBy(b.Keeps)
	l := Label{
		Title: b.title(), Function: "Oil for the skin", Ingredients: list,
		Content: b.content(),
		Date:    date, Mark: shelf.MarkFor(b.Keeps.Made, date.By, b.OpenMonths),
		Number: b.Number, Responsible: strings.TrimSpace(b.Responsible), Strength: b.Strength,
		Cautions: cautions.For(cautions.Preparation{
			Herbs: names(b.Herbs), Oils: names(b.Oils), Fresh: b.Keeps.Fresh,
			WaterLeft: b.Keeps.Water == shelf.WaterLeft, GivenAway: b.GivenAway,
		}),
	}
	for _, c := range l.Cautions {
		if c.Short != "" {
			l.Short = append(l.Short, c.Short)
		}
	}
	l.Missing = b.missing(unsure)
	return l
}

func (b Batch) missing(unsure []string) []string {
	var m []string
	lack := func(is bool, what string) {
		if is {
			m = append(m, what)
		}
	}
	lack(strings.TrimSpace(b.Responsible) == "", "name and address of who answers for it")
	lack(b.Number == "", "batch number")
	lack(!(b.BottleKg > 0 || b.BottleMl > 0), "what one bottle weighs when it is full, less the empty bottle")
	lack(len(b.Herbs) == 0, "the herb")
	lack(len(b.Oils) == 0, "the oil")
	lack(b.Keeps.Made.IsZero(), "the day on which it was made")
	lack(b.Keeps.OilBest.IsZero(), "the base oil's own date")
	for _, name := range unsure {
		m = append(m, fmt.Sprintf("the ingredient name of %q: it is in no table here", name))
	}
	return append(m, "a look at the official list of ingredient names before anything is sold")
}

func (b Batch) title() string {
	if b.Name != "" {
		return b.Name
	}
	var herbs []string
	for _, h := range b.Herbs {
		n := larder.ParseName(h.Name)
		if n.Known {
			herbs = append(herbs, n.Common)
		} else {
			herbs = append(herbs, n.Botanical())
		}
	}
	return strings.TrimSpace(strings.Join(herbs, " and ") + " oil")
}

func (b Batch) content() Content {
	if b.BottleMl > 0 {
		return ContentOfVolume(b.BottleMl, b.BottleAtC, b.heaviest(), b.Units)
	}
	return ContentOf(b.BottleKg, b.heaviest(), b.Units)
}

// heaviest is the heaviest of the oils, for of that the bottle holds the least.
func (b Batch) heaviest() larder.Oil {
	var heavy larder.Oil
	for i, p := range b.Oils {
		o := larder.FindOil(p.Name)
		if i == 0 || o.Density(volumeC).P90 > heavy.Density(volumeC).P90 {
			heavy = o
		}
	}
	if len(b.Oils) == 0 {
		return larder.FindOil("")
	}
	return heavy
}

func names(parts []Part) []string {
	var all []string
	for _, p := range parts {
		all = append(all, p.Name)
	}
	return all
}

// Number returns a batch number that is easy to trace back (ISO 22716:2007,
// 7.2.3): the day, the bath, and which batch of that bath and day it is, such
// as "2026-03-01-north-1".
func Number(made time.Time, bath string, nth int) string {
	bath = strings.Join(strings.Fields(strings.ToLower(bath)), "-")
	return fmt.Sprintf("%s-%s-%d", made.Format(time.DateOnly), bath, nth)
}

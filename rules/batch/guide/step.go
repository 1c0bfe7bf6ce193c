package guide

import (
	"strconv"
	"time"
)

// Key names a kind of step. The words are part of the JSON interface.
type Key string

// The steps, in the order of the work. Those of a maceration come once for each.
const (
	Plan      Key = "plan"      // choose the recipe, read the plan
	Checklist Key = "checklist" // before lighting
	Fill      Key = "fill"      // water into the pan
	Herb      Key = "herb"      // weigh the herb in
	Oil       Key = "oil"       // weigh the oil in
	Charge    Key = "charge"    // herb and oil into the dish
	Light     Key = "light"     // heat on
	Recharge  Key = "recharge"  // fresh herb into the same oil, heat on again
	Warm      Key = "warm"      // until the oil is at its floor
	Hold      Key = "hold"      // until it was there long enough
	Strain    Key = "strain"    // heat off, herb out
	Marc      Key = "marc"      // weigh the spent herb
	Settle    Key = "settle"    // pour off the water
	OilOut    Key = "oil-out"   // weigh what came out
	Cool      Key = "cool"      // until it may be bottled
	Bottle    Key = "bottle"    // fill bottles
	Close     Key = "close"     // that was all
	Label     Key = "label"     // labels and sheet
	Shelf     Key = "shelf"     // where the bottles stand
	GivenUp   Key = "given-up"  // the batch was abandoned
	Next      Key = "next"      // the next batch
)

// Stands tells how a step stands. The words are part of the JSON interface.
type Stands string

// How a step stands.
const (
	Done    Stands = "done"
	Present Stands = "present"
	Missed  Stands = "missed" // passed over; it can still be entered
	Ahead   Stands = "ahead"
)

// Step is one thing to do.
type Step struct {
	Key      Key       `json:"step"`
	Pass     int       `json:"maceration,omitzero"` // of which maceration; 0: of the batch
	Stands   Stands    `json:"stands"`
	Title    string    `json:"title"`
	Say      []string  `json:"say"`           // what to do, in sentences
	Cautions []string  `json:"cautions"`      // what can go wrong
	Did      []string  `json:"did"`           // what was entered
	When     time.Time `json:"when,omitzero"` // it was done
	Who      string    `json:"who,omitzero"`  // did it
	Optional bool      `json:"optional,omitzero"`
	// Live names the words of the bath that belong beside the step while it is the
	// present one: see dashboards.Words.
	Live  []string `json:"live,omitzero"`
	Form  *Form    `json:"form"` // nil: nothing can be entered now
	Links []Link   `json:"links,omitzero"`
	// Go is what a person says to go on to the next step without entering anything;
	// empty: the step ends by itself, or by its form.
	Go string `json:"go,omitzero"`
}

// ID tells the step from all others of a batch: "fill", "hold-2".
func (s Step) ID() string {
	if s.Pass == 0 {
		return string(s.Key)
	}
	return string(s.Key) + "-" + strconv.Itoa(s.Pass)
}

// Page names a page to which a step leads. Where it is, the server knows.
type Page string

// The pages.
const (
	PlanPage   Page = "plan"
	PhonesPage Page = "phones"
	SheetPage  Page = "sheet"
	LabelsPage Page = "labels"
	ShelfPage  Page = "shelf"
)

// Link leads to a page.
type Link struct {
	Page Page   `json:"page"`
	Text string `json:"text"`
	To   string `json:"to"` // its address: see Guide.Leads
}

// To names what a form is sent to. The first three are of the bath, the others of
// the batch: POST /api/bath/BATH/event, POST /api/batch/NUMBER/material.
type To string

// Where forms go.
const (
	ToEvent     To = "event"
	ToRecipe    To = "recipe"
	ToChecklist To = "checklist"
	ToMaterial  To = "material"
	ToWeighing  To = "weighing"
	ToBottles   To = "bottles"
)

// OfBath reports whether what is sent there belongs to the bath, not to its batch.
func (t To) OfBath() bool { return t == ToEvent || t == ToRecipe || t == ToChecklist }

// Form is what is asked for. Sent is Fixed with the values of the fields added,
// each under its name, and who sends it under "who".
type Form struct {
	To      To             `json:"to"`
	Fixed   map[string]any `json:"fixed"`
	Fields  []Field        `json:"fields"`
	Button  string         `json:"button"`
	Records string         `json:"records"` // what it will put into the record
	Caution string         `json:"caution,omitzero"`
}

// Kind tells how a field is filled in, and as what its value is sent.
type Kind string

// The kinds of field.
const (
	Quantity Kind = "quantity" // a number and one of the Units; sent as "220 g"
	Count    Kind = "count"    // a whole number; sent as a number
	Celsius  Kind = "celsius"  // a temperature, shown in Units[0]; sent as a number, °C
	Text     Kind = "text"     // a line; sent as a text
	Day      Kind = "day"      // a day; sent as "2027-05-31"
	Choice   Kind = "choice"   // one of the Choices; sent as its value
	Tick     Kind = "tick"     // ticked or not; the values of those that are, as a list
)

// Field is one thing that is asked for.
type Field struct {
	Name     string   `json:"name"`
	Label    string   `json:"label"`
	Kind     Kind     `json:"kind"`
	Units    []string `json:"units,omitzero"` // the first is offered first
	Value    string   `json:"value"`          // offered; empty: nothing is known
	From     string   `json:"from,omitzero"`  // where the value comes from
	Hint     string   `json:"hint,omitzero"`
	Ticked   bool     `json:"ticked,omitzero"`
	Choices  []Option `json:"choices,omitzero"`
	Required bool     `json:"required,omitzero"`
}

// Option is one choice.
type Option struct {
	Value string `json:"value"`
	Text  string `json:"text"`
}

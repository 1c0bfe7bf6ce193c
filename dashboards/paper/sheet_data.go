package paper

import (
	"time"

	"bainward/rules"
	"bainward/rules/batch/cautions"
)

// BatchSheet is everything that stands on a batch sheet. Zero values and NaN
// are things that nobody entered or that are not known, and are printed as that.
type BatchSheet struct {
	Number  string // of the batch
	Product string
	Site    string
	Bath    string
	// Made is when the batch was begun. This and all other times are printed as their
	// own clocks show them.
	Made    time.Time
	Zone    string    // what the time zone is called; may be empty
	AsOf    time.Time // the last entry of the record that went in
	Program string    // version of the program that drew the sheet

	Units rules.Units
	Page  Size     // zero: A4
	Fonts []string // TrueType files for scripts that the built-in typeface lacks

	Verdict     string       // held, short, spoiled or open
	OilMaxC     float64      // 0 or NaN: not known
	Recipe      rules.Recipe // as it was when the batch began; what it leaves out is completed
	Materials   []Material   // in the order in which they went in
	Rig         rules.Rig
	Equipment   []string // what else was used: the dish, the scale and its check
	Probes      []Probe
	Checks      []Check // before the start; none: StartChecks
	Times       Times
	Macerations []Maceration // in order; they are numbered from 1
	Controls    []Control
	Trace       Trace
	Alarms      []Alarm
	Deviations  []Deviation
	Strength    []string // sentences, such as strength.Result.Lines
	Balance     []Share  // NaN: not weighed, and then what is missing is not known
	Yield       float64  // oil obtained of oil put in, a share
	Bottles     []Bottles
	Cautions    []cautions.Caution
	Deeds       []Deed
	Record      Record

	MadeBy, ReviewedBy Signature

	// changes: its times stand on both sides of a change of clocks. Set by Sheet.
	changes bool
}

// Material is something that was weighed in.
type Material struct {
	Name, Lot string
	Kg        float64 // weighed
	Litres    float64 // what that is as a volume; 0: it has none
	Released  string  // by whom, or on what ground
}

// Probe is a thermometer of the bath.
type Probe struct {
	Role, Address string
	Calibrated    time.Time // zero: never
	// ExpandedC is the expanded uncertainty (k = 2) in K.
	ExpandedC float64
}

// Check is one thing looked at before the start. Who and when are printed only of
// what is Done.
type Check struct {
	What string
	Done bool
	By   string
	At   time.Time
}

// StartChecks are the four that ISO 22716:2007, 7.2.2, asks for, not done yet.
func StartChecks() []Check {
	return []Check{
		{What: "recipe and sheet at hand"},
		{What: "materials at hand and released"},
		{What: "equipment works and is clean"},
		{What: "the place is cleared of other work"},
	}
}

// Times are the instants between which a batch was made: water put in, heat on, the
// oil at the floor, the last hold complete, the last straining, the bottling. A zero
// one is printed as not recorded.
type Times struct{ Fill, Lit, Floor, Held, Strain, Bottle time.Time }

// Maceration is one pass. HoldAsked and HoldDone are times at or above the
// floor.
type Maceration struct {
	From, To            time.Time
	Herb                string // and how much of it
	HoldAsked, HoldDone time.Duration
	OilMaxC             float64
	Verdict             string
}

// Control is something that was measured on the way, with what was asked of it.
type Control struct {
	What, Limit, Found string
	Met                bool
}

// Alarm is one that came up. Acknowledged is zero if nobody did, and then By is not
// printed.
type Alarm struct {
	Raised       time.Time
	Name         string
	Priority     string
	Acknowledged time.Time
	By           string
}

// Deviation is where the batch left the recipe, and what the maker says to it.
type Deviation struct {
	At                time.Time
	What, Explanation string
	By                string
}

// Share is a part of the mass balance: what went in, or what came out.
type Share struct {
	What string
	Kg   float64
	Out  bool
}

// Bottles are bottles of one kind in one place.
type Bottles struct {
	Count  int
	Litres float64 // in each
	Kg     float64 // in each
	Place  string
	UseBy  time.Time // a day
}

// Deed is something a person did.
type Deed struct {
	At        time.Time
	What, Who string
}

// Record tells where the evidence is.
type Record struct {
	File       string
	Entries    int64
	Checkpoint string // as it is signed, line by line
}

// Signature is one of the two names under the sheet. With a zero At the line
// stays open for a hand.
type Signature struct {
	Name string
	At   time.Time
}

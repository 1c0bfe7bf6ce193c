package ledger

import (
	"math"
	"slices"
	"strings"
	"testing"

	"bainward/rules"
)

// What cannot have happened is refused in words that say what to do.
func TestWhatCannotBeIsRefused(t *testing.T) {
	y := newYard(t)
	y.refuses(herb("b1", "A", "220 g"), `batch "b1" is not in the record: there is none yet`)
	y.first()
	for _, c := range []struct {
		fact Fact
		want string
	}{
		{Opened{Batch: "b1"}, "opened before"},
		{Closed{Batch: "b9"}, `did you mean "b1"?`},
		{Material{Batch: "b1", What: "leaf", Name: "x", Lot: "y"}, "want herb, oil or other"},
		{Material{Batch: "b1", What: Herb, Name: "ribwort", State: Dried, Quantity: amountOf("1 g")}, "has no lot"},
		{Material{Batch: "b1", What: Herb, Name: "ribwort", Lot: "A", State: Dried, Quantity: amountOf("1 l")}, "herb is weighed"},
		{Material{Batch: "b1", What: Herb, Name: "ribwort", Lot: "A", Quantity: amountOf("1 g")}, "want fresh or dried"},
		{Material{Batch: "b1", What: Oil, Name: "olive", Lot: "A", Quantity: amountOf("1 l")}, "needs the temperature"},
		{Material{Batch: "b1", What: Oil, Name: "ol\nive", Lot: "A", Quantity: amountOf("1 kg")}, "on one line"},
		{weighed("b1", OilOut, "640 ml"), "want a mass"},
		{weighed("b1", "pan", "640 g"), "want oil-in, marc, oil-out or water"},
		{filled("b1", "100 ml", Cool, 3), "bottle b1/3 is filled already: give it the next number, 4"},
		{filled("b1", "100 ml", "attic", 4), "want room, cool or fridge"},
		{filled("b1", "100 ml", Cool, 4, 4), "named twice"},
		{filled("b1", "100 ml", Cool), "no bottle is named"},
		{Bottles{Batch: "b1", Numbers: []int{4}, Each: amountOf("100 ml"), Place: Cool}, "needs the temperature"},
		{Moved{Batch: "b1", Numbers: []int{4}, Place: Room}, "the batch has bottles 1 to 3"},
		{Smelled{Batch: "b1", Numbers: []int{1}, Smell: "odd"}, "want fine or rancid"},
		{Given{Batch: "b1", Bottle: 1, Quantity: amountOf("250 ml"), To: "x"}, "bottle b1/1 holds 200 ml"},
		{Given{Batch: "b1", Bottle: 1, Quantity: amountOf("25 ml")}, "where did it go?"},
		{Given{Batch: "b1", Bottle: 1, To: "x"}, "how much was it?"},
		{Given{Batch: "b1", Bottle: 1, All: true, Quantity: amountOf("25 ml"), To: "x"}, "how much was it?"},
		{Given{Batch: "b1", Bottle: 1, All: true, Thrown: true, To: "x"}, "went to nobody"},
		{Given{Batch: "b1", Bottle: 1, All: true, Product: "b1"}, "cannot be made of b1"},
		{Given{Batch: "b1", Bottle: 1, All: true, To: "x", Name: "cream"}, "needs a number of its own"},
		{Given{Batch: "b1", All: true, To: "x"}, "from which bottle of batch b1 was it?"},
		{Given{Batch: "cream", All: true, To: "x"}, `product "cream" is not in the record`},
		{Deviation{Batch: "b1"}, "says nothing"},
	} {
		y.refuses(c.fact, c.want)
	}
	y.did(Given{Batch: "b1", Bottle: 1, Quantity: amountOf("150 ml"), Product: "c", Name: "cream"})
	y.refuses(Given{Batch: "b1", Bottle: 1, Quantity: amountOf("51 ml"), To: "x"}, "bottle b1/1 holds 50 ml")
	y.refuses(Given{Batch: "b1", Bottle: 2, All: true, Product: "c", Name: "salve"}, `called "cream" already`)
	y.did(Given{Batch: "c", All: true, To: "x"}, Given{Batch: "b1", Bottle: 1, All: true, To: "x"})
	y.refuses(Given{Batch: "c", To: "y"}, "nothing is left of product c")
	y.refuses(Moved{Batch: "b1", Numbers: []int{1}, Place: Room}, "bottle b1/1 is empty: its last went on 2026-03-01")
}

// What is rancid or past its date goes to nobody unless somebody says why, but it
// may be thrown away.
func TestWhatIsSpoiltIsNotGivenUnasked(t *testing.T) {
	y := newYard(t)
	y.first()
	y.did(Smelled{Batch: "b1", Numbers: []int{1}, Smell: Rancid})
	y.refuses(Given{Batch: "b1", Bottle: 1, All: true, To: "x"}, "was found rancid on 2026-03-01: throw it away")
	y.did(Given{Batch: "b1", Bottle: 1, Quantity: amountOf("5 ml"), To: "lab", Despite: "for a test"}, Given{Batch: "b1", Bottle: 1, All: true, Thrown: true})
	y.after(25)
	y.refuses(Given{Batch: "b1", Bottle: 2, All: true, To: "x"}, "was good until 2028-03-01: throw it away")
	y.did(Given{Batch: "b1", Bottle: 2, All: true, Thrown: true})
	if o := y.bottle("b1/1"); o.Status != Empty || len(o.Given) != 2 || o.Given[0].Despite == "" {
		t.Errorf("the rancid bottle is %+v", o)
	}
}

// An entry can be taken back as long as nothing builds on it.
func TestTakingBackAnEntry(t *testing.T) {
	y := newYard(t)
	y.first()
	bottling := y.seq
	y.did(Given{Batch: "b1", Bottle: 1, Quantity: amountOf("150 ml"), To: "x"})
	if err := y.l.AllowsVoid(bottling); err == nil || !strings.Contains(err.Error(), "entry 9 builds on entry 8, take it back first") {
		t.Errorf("taking back the bottling gives %v", err)
	}
	if err := y.l.Void(9); err != nil {
		t.Fatal(err)
	}
	if o := y.bottle("b1/1"); o.LeftMl != 200 || len(o.Given) != 0 {
		t.Errorf("after taking back the gift the bottle is %+v", o)
	}
	if err := y.l.Void(9); err == nil || !strings.Contains(err.Error(), "taken back already") {
		t.Errorf("taking it back again gives %v", err)
	}
	if err := y.l.Void(1); err == nil {
		t.Error("the opening of the batch can be taken back")
	}
	if err := y.l.Void(bottling); err != nil || len(y.account("b1").Bottles) != 0 {
		t.Errorf("taking back the bottling gives %v", err)
	}
}

// New bottles get the next numbers.
func TestBottlesAreNumberedOn(t *testing.T) {
	y := newYard(t)
	y.first()
	f := filled("b1", "10 ml", Cool)
	f.Count = 2
	got := y.l.Complete(f).(Bottles)
	if !slices.Equal(got.Numbers, []int{4, 5}) || got.Count != 0 {
		t.Errorf("got %v", got)
	}
	y.did(got)
}

// The balance of an ordinary batch, reckoned by hand: 220 g and 736 g went in,
// 150 g, 650 g and 10 g came out, and the 146 g between are less than the 83 % of
// water in the leaves. Three bottles of 200 ml sunflower oil hold some 552 g: its
// relative density is 0.918 to 0.923 (Codex STAN 210, from memory).
func TestAnOrdinaryBalanceCloses(t *testing.T) {
	y := newYard(t)
	y.first()
	b := y.account("b1").Balance
	for _, c := range []struct {
		name      string
		got       *Span
		want, off float64
	}{
		{"in", b.InKg, 0.956, 1e-9}, {"out", b.OutKg, 0.810, 1e-9}, {"gone", b.GoneKg, 0.146, 1e-9},
		{"bottled", b.BottledKg, 0.552, 0.005}, {"unbottled", b.UnbottledKg, 0.098, 0.005},
	} {
		if c.got == nil || math.Abs(c.got.P50-c.want) > c.off {
			t.Errorf("%s: %+v, want %g", c.name, c.got, c.want)
		}
	}
	if !b.Closes || b.Lacks != "" || len(b.Warnings) > 0 {
		t.Errorf("the balance is %+v, want it closed", b)
	}
}

// A balance that does not close beyond its doubts says in which way, and one that
// cannot be reckoned says what is lacking.
func TestABalanceThatDoesNotCloseSaysSo(t *testing.T) {
	for _, c := range []struct {
		name string
		more []Fact
		want string
	}{
		{"a gram too much is within the doubt", []Fact{weighed("b1", Marc, "305 g"), weighed("b1", OilOut, "652 g")}, ""},
		{"twenty grams are not", []Fact{weighed("b1", Marc, "316 g"), weighed("b1", OilOut, "660 g")}, "20 g more came out than went in"},
		{"a spilt glass", []Fact{weighed("b1", Marc, "150 g"), weighed("b1", OilOut, "400 g")}, "are missing beyond the herb's water"},
		{"too full bottles", []Fact{weighed("b1", Marc, "150 g"), weighed("b1", OilOut, "650 g"), filled("b1", "400 ml", Cool, 1, 2)}, "the bottles hold"},
		{"no marc", []Fact{weighed("b1", OilOut, "650 g")}, "the marc of maceration 1 was not weighed"},
		{"no oil out", []Fact{weighed("b1", Marc, "150 g")}, "the oil that came out was not weighed"},
	} {
		y := newYard(t)
		y.did(Opened{Batch: "b1"}, herb("b1", "A", "220 g"), oil("b1", "S", "736 g", "2028-01-01"))
		y.did(c.more...)
		b := y.account("b1").Balance
		said := strings.Join(append(b.Warnings, b.Lacks), "")
		if b.Closes != (c.want == "") || !strings.Contains(said, c.want) {
			t.Errorf("%s: closes %v, says %q, want %q", c.name, b.Closes, said, c.want)
		}
	}
}

// A second maceration of the same oil with as much fresh herb doubles its
// strength (common practice, no source).
func TestASecondMacerationDoubles(t *testing.T) {
	y := newYard(t)
	dried := func(n int) Material {
		return Material{Batch: "b1", What: Herb, Name: "Calendula officinalis, flower", Lot: "A", State: Dried, Quantity: amountOf("100 g"), Pass: n}
	}
	y.did(Opened{Batch: "b1"}, dried(1), oil("b1", "S", "1 kg", "2028-01-01"), weighed("b1", OilOut, "850 g"))
	once := y.account("b1").Strength
	if once.OneTo == nil || math.Abs(once.OneTo.P50-10) > 0.3 {
		t.Fatalf("100 g of dried flowers to 1 kg of oil give %+v", once)
	}
	y.did(Weighing{Batch: "b1", What: OilOut, Quantity: amountOf("700 g"), Pass: 2})
	if s := y.account("b1").Strength; s.Lacks != "no herb was entered for maceration 2" {
		t.Errorf("without herb: %+v", s)
	}
	y.did(Material{Batch: "b1", What: Herb, Name: "Calendula officinalis, flower", Lot: "A", State: Dried, Quantity: amountOf("85 g"), Pass: 2})
	twice := y.account("b1").Strength
	if twice.PerOil == nil || math.Abs(twice.PerOil.P50/once.PerOil.P50-2) > 1e-4 {
		t.Errorf("once %+v, twice %+v", once.PerOil, twice.PerOil)
	}
	if text := strings.Join(twice.Lines(rules.Metric), " "); text == "" {
		t.Error("nothing is said of the strength")
	}
}

// A bottle in the cool keeps two years, one in a room one (common practice, no
// source). Half of the two years gone, a move into the room halves the rest; a
// move back gives nothing back.
func TestAMoveToTheWarmShortensTheDate(t *testing.T) {
	y := newYard(t)
	y.first()
	y.did(filled("b1", "10 ml", Room, 4))
	if by := y.bottle("b1/4").UseBy.String(); by != "2027-03-01" {
		t.Errorf("in a room it keeps until %s", by)
	}
	y.now = march.AddDate(1, 0, 0)
	y.did(Moved{Batch: "b1", Numbers: []int{1}, Place: Room})
	y.did(Moved{Batch: "b1", Numbers: []int{1, 2}, Place: Fridge}, Moved{Batch: "b1", Numbers: []int{1}, Place: Room})
	for id, want := range map[string]string{"b1/1": "2027-08-31", "b1/2": "2028-03-01", "b1/3": "2028-03-01"} {
		if o := y.bottle(id); o.UseBy.String() != want {
			t.Errorf("%s keeps until %s (%s), want %s", id, o.UseBy, o.UseByWhy, want)
		}
	}
}

// The oil's own date, the maker's, and water in the oil each set an earlier one.
func TestWhatElseSetsTheDate(t *testing.T) {
	for _, c := range []struct {
		name, best, own, want string
		water                 Seen
	}{
		{"the oil's own", "2026-09-30", "", "2026-09-30", NoWater},
		{"the maker's", "2028-09-30", "2026-05-01", "2026-05-01", NoWater},
		{"the maker's cannot lengthen it", "2026-09-30", "2029-05-01", "2026-09-30", NoWater},
		{"four days with water in it", "2028-09-30", "", "2026-03-05", WaterIn},
	} {
		y := newYard(t)
		f := filled("b1", "10 ml", Cool, 1)
		f.Water = c.water
		if c.own != "" {
			f.UseBy = day(c.own)
		}
		y.did(Opened{Batch: "b1"}, oil("b1", "S", "1 kg", c.best), f)
		if by := y.bottle("b1/1").UseBy.String(); by != c.want {
			t.Errorf("%s: %s, want %s", c.name, by, c.want)
		}
	}
}

// Every three months somebody smells at what stands there (common practice, no
// source); what is rancid or past comes first.
func TestWhatIsDue(t *testing.T) {
	y := newYard(t)
	y.first()
	due := func(day string) (ids []string) {
		t.Helper()
		d, _ := ParseDay(day)
		for _, u := range y.l.Due(d) {
			ids = append(ids, u.Bottle.ID+": "+strings.SplitN(u.Why, ":", 2)[0])
		}
		return ids
	}
	want := func(day string, want ...string) {
		t.Helper()
		if got := due(day); !slices.Equal(got, want) {
			t.Errorf("on %s: %q, want %q", day, got, want)
		}
	}
	want("2026-05-31")
	want("2026-06-01", "b1/1: smell at it", "b1/2: smell at it", "b1/3: smell at it")
	y.after(3)
	y.did(Smelled{Batch: "b1", Numbers: []int{1}, Smell: Fine}, Smelled{Batch: "b1", Numbers: []int{3}, Smell: Rancid}, Given{Batch: "b1", Bottle: 2, Quantity: amountOf("1 ml"), To: "x"})
	want("2026-06-02", "b1/3: it was found rancid", "b1/2: smell at it")
	want("2026-09-01", "b1/3: it was found rancid", "b1/2: smell at it", "b1/1: smell at it")
	want("2028-03-02", "b1/3: it was found rancid", "b1/2: it was good until 2028-03-01", "b1/1: it was good until 2028-03-01")
	y.did(Given{Batch: "b1", Bottle: 3, All: true, Thrown: true}, Given{Batch: "b1", Bottle: 2, All: true, To: "x"})
	want("2026-06-02")
}

// A day is read as it is written, and only if it is in the calendar.
func TestDaysAreRead(t *testing.T) {
	for _, s := range []string{"2026-02-28", "2028-02-29", "1999-12-31"} {
		if d, err := ParseDay(s); err != nil || d.String() != s {
			t.Errorf("%s: %s, %v", s, d, err)
		}
	}
	for _, s := range []string{"2026-02-29", "2026-2-28", "28.02.2026", "2026-13-01", "", "2026-02-28T", "+026-02-28"} {
		if d, err := ParseDay(s); err == nil {
			t.Errorf("%q was read as %s", s, d)
		}
	}
}

// Numbers of bottles are said as people count.
func TestBottleNumbersInWords(t *testing.T) {
	for want, in := range map[string][]int{
		"bottle 3": {3}, "bottles 1 and 2": {2, 1}, "bottles 1 to 3": {1, 2, 3}, "bottles 1 to 3, 5 and 9": {9, 1, 2, 3, 5},
	} {
		if got := bottleList(in); got != want {
			t.Errorf("%v: %q, want %q", in, got, want)
		}
	}
}

package app

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules/batch/ledger"
)

func much(t testing.TB, s string) ledger.Amount {
	t.Helper()
	a, err := ledger.ParseAmount(s)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func until(t testing.TB, s string) ledger.Day {
	t.Helper()
	d, err := ledger.ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// entered records facts of goods.
func (k *kitchen) entered(facts ...ledger.Fact) {
	k.t.Helper()
	for _, f := range facts {
		if _, err := k.app.Enter(k.t.Context(), f, "Robin"); err != nil {
			k.t.Fatalf("%s: %v", f, err)
		}
	}
}

// refused asks for what must be refused, and looks that nothing was recorded.
func (k *kitchen) refused(f ledger.Fact, who, want string) {
	k.t.Helper()
	before := len(k.entries())
	if _, err := k.app.Enter(k.t.Context(), f, who); err == nil || !strings.Contains(err.Error(), want) {
		k.t.Errorf("%s: got %v, want %q", f, err, want)
	}
	if n := len(k.entries()) - before; n != 0 {
		k.t.Errorf("%s: refused, and %d entries were written", f, n)
	}
}

func (k *kitchen) recall(lot string) (r ledger.Recall) {
	k.t.Helper()
	k.app.Books(func(l *ledger.Ledger, _ ledger.Day) {
		var err error
		if r, err = l.From(lot); err != nil {
			k.t.Error(err)
		}
	})
	return r
}

func (k *kitchen) account(number string) (a ledger.Account) {
	k.t.Helper()
	k.app.Books(func(l *ledger.Ledger, _ ledger.Day) {
		var err error
		if a, err = l.Account(number); err != nil {
			k.t.Error(err)
		}
	})
	return a
}

// inBottles makes a batch of herb lot and fills two bottles; it returns its number.
func (k *kitchen) inBottles(lot string) string {
	k.t.Helper()
	k.hold()
	number := k.batch()
	k.entered(
		ledger.Material{Batch: number, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: lot, Quantity: much(k.t, "220 g"), State: ledger.Fresh},
		ledger.Material{Batch: number, What: ledger.Oil, Name: "sunflower", Lot: "S-17", BestBefore: until(k.t, "2027-05-31"), Quantity: much(k.t, "800 ml"), AtC: 20},
	)
	k.pollFor(30 * time.Minute)
	k.did("strain; bottle 600 ml")
	bottles := ledger.Bottles{Batch: number, Count: 2, Each: much(k.t, "250 ml"), AtC: 21, Place: ledger.Cool, Label: true, Water: ledger.NoWater}
	k.entered(ledger.Weighing{Batch: number, What: ledger.OilOut, Quantity: much(k.t, "640 g")}, bottles)
	return number
}

// A herb lot went into two batches, and one of those into a cream: one question
// finds all of it, before and after a restart, and the rules judge as before.
func TestARecallFindsBothBatchesAndTheCream(t *testing.T) {
	k := newKitchen(t)
	first, second, third := k.inBottles("A"), k.inBottles("A"), k.inBottles("B")
	k.entered(
		ledger.Given{Batch: first, Bottle: 1, All: true, To: "book 12"},
		ledger.Given{Batch: second, Bottle: 2, Quantity: much(t, "60 ml"), Product: "cream-4", Name: "ribwort cream"},
		ledger.Given{Batch: "cream-4", All: true, To: "book 14"},
		ledger.Given{Batch: third, Bottle: 1, All: true, To: "book 15"},
		ledger.Deviation{Batch: second, Text: "the lid was forgotten"},
	)
	for _, when := range []string{"live", "after a restart"} {
		r := k.recall("A")
		var bottles, went []string
		for _, o := range r.Bottles {
			bottles = append(bottles, o.ID)
		}
		for _, f := range r.References {
			went = append(went, f.From+" to "+f.To)
		}
		if want := []string{first, second}; !slices.Equal(r.Batches, want) {
			t.Errorf("%s: lot A is in %q, want %q", when, r.Batches, want)
		}
		if want := []string{first + "/1", first + "/2", second + "/1", second + "/2"}; !slices.Equal(bottles, want) {
			t.Errorf("%s: lot A is in %q, want %q", when, bottles, want)
		}
		if len(r.Products) != 1 || r.Products[0].Number != "cream-4" {
			t.Errorf("%s: products %+v", when, r.Products)
		}
		if want := []string{first + "/1 to book 12", "cream-4 to book 14"}; !slices.Equal(went, want) {
			t.Errorf("%s: it went %q, want %q", when, went, want)
		}
		if a := k.account(second); len(a.Deviations) != 1 || a.Bath != "north" || a.Bottles[1].LeftMl != 190 {
			t.Errorf("%s: the second batch is %+v", when, a)
		}
		k.restart(time.Minute)
	}
	checkRefold(t, k.entries())
}

// What is refused is not recorded, and says what to do.
func TestGoodsThatCannotBeAreRefused(t *testing.T) {
	k := newKitchen(t)
	k.refused(ledger.Deviation{Batch: "2026-03-01-north-1", Text: "x"}, "Robin", "is not in the record: there is none yet")
	number := k.inBottles("A")
	k.refused(ledger.Deviation{Batch: number, Text: "x"}, "", "who enters it?")
	k.refused(ledger.Deviation{Batch: number}, "Robin", "write what went another way")
	k.refused(ledger.Given{Batch: number, Bottle: 2, Quantity: much(t, "1 l"), To: "book 1"}, "Robin", "bottle "+number+"/2 holds 250 ml")
	k.refused(ledger.Moved{Batch: "2026-03-01-north-9", Numbers: []int{1}, Place: ledger.Room}, "Robin", `did you mean "`+number+`"?`)
	k.refused(ledger.Opened{Batch: "b9"}, "Robin", "nothing that a person enters")
}

// Goods count once they are recorded and not before.
func TestGoodsThatAreNotRecordedDoNotCount(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	before := k.account(number)
	mend := breakDisk(k)
	_, err := k.app.Enter(t.Context(), ledger.Given{Batch: number, Bottle: 1, All: true, To: "book 1"}, "Robin")
	if err == nil || !strings.Contains(err.Error(), "could not be recorded and does not count") {
		t.Errorf("got %v", err)
	}
	if after := k.account(number); !reflect.DeepEqual(after.Bottles, before.Bottles) {
		t.Errorf("the bottles are %+v", after.Bottles)
	}
	mend()
	k.entered(ledger.Given{Batch: number, Bottle: 1, All: true, To: "book 1"})
}

// An entry of goods is taken back by a later one, also from the page of the bath
// and after a restart, but not while another builds on it.
func TestGoodsAreTakenBack(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	k.entered(ledger.Given{Batch: number, Bottle: 1, All: true, To: "book 1"})
	last := func(kind record.Kind) (seq int64) {
		for _, e := range k.entries() {
			if e.Kind == kind {
				seq = e.Seq
			}
		}
		return seq
	}
	if err := k.app.TakeBack(t.Context(), last(record.KindBottles), "wrong size", "Robin"); err == nil || !strings.Contains(err.Error(), "take it back first") {
		t.Errorf("taking back the bottles gives %v", err)
	}
	if err := k.app.TakeBack(t.Context(), last(record.KindGiven), "a slip", ""); err == nil || !strings.Contains(err.Error(), "who enters it") {
		t.Errorf("nobody takes back: %v", err)
	}
	given := last(record.KindGiven)
	if err := k.app.TakeBack(t.Context(), given, "a slip", "Robin"); err != nil {
		t.Fatal(err)
	}
	k.restart(time.Minute)
	if left := k.account(number).Bottles[0].LeftMl; left != 250 {
		t.Errorf("%g ml are left, want 250", left)
	}
	if err := k.app.Void(t.Context(), "north", given, "again", "Robin"); err == nil {
		t.Error("it can be taken back twice")
	}
	if err := k.app.Void(t.Context(), "north", last(record.KindBottles), "wrong size", "Robin"); err != nil {
		t.Errorf("from the page of the bath: %v", err)
	}
	if n := len(k.account(number).Bottles); n != 0 {
		t.Errorf("%d bottles are left", n)
	}
	k.restart(time.Minute)
	checkRefold(t, k.entries())
}

// What belongs to the batch in hand and names no maceration is of the one that is
// going on; new bottles get the next numbers.
func TestTheBooksFillInWhatIsKnown(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	k.did("strain; recharge 200 g")
	number := k.batch()
	herb := ledger.Material{Batch: number, What: ledger.Herb, Name: "ribwort", Lot: "B", Quantity: much(t, "200 g"), State: ledger.Fresh}
	oil := ledger.Weighing{Batch: number, What: ledger.OilIn, Quantity: much(t, "640 g")}
	for _, f := range []ledger.Fact{herb, oil} {
		got, err := k.app.Enter(t.Context(), f, "Robin")
		if err != nil || !strings.HasSuffix(got.String(), ", maceration 2") {
			t.Errorf("%s became %v, %v", f, got, err)
		}
	}
	herb.Pass = 1
	if got, err := k.app.Enter(t.Context(), herb, "Robin"); err != nil || got.(ledger.Material).Pass != 1 {
		t.Errorf("said to be of the first it became %v, %v", got, err)
	}
	bottles := ledger.Bottles{Batch: number, Count: 2, Each: much(t, "250 ml"), AtC: 21, Place: ledger.Cool}
	for _, want := range [][]int{{1, 2}, {3, 4}} {
		got, err := k.app.Enter(t.Context(), bottles, "Robin")
		if err != nil || !slices.Equal(got.(ledger.Bottles).Numbers, want) {
			t.Errorf("got %v, %v, want bottles %v", got, err, want)
		}
	}
}

// The course of a batch, folded from the record, is what the pages showed live.
func TestTheCourseIsWhatThePagesShowed(t *testing.T) {
	k := newKitchen(t)
	first := k.inBottles("A")
	held := k.shown()
	k.did("fill 1.8 kg") // closes the first
	course, err := k.app.Course(t.Context(), first)
	if err != nil {
		t.Fatal(err)
	}
	if course.HoldS != held.Hold.Seconds() || course.OilMaxC == nil || *course.OilMaxC != held.OilMaxC || course.Verdict != held.Verdict.String() {
		t.Errorf("the course is %+v, the page showed %s held, %g °C, %s", course, held.Hold, held.OilMaxC, held.Verdict)
	}
	var phases []string
	for _, p := range course.Phases {
		phases = append(phases, p.Phase)
	}
	if want := []string{"heating", "holding", "straining", "bottled"}; !slices.Equal(phases, want) {
		t.Errorf("phases %q, want %q", phases, want)
	}
	now, err := k.app.Course(t.Context(), k.batch())
	if err != nil || now.Verdict != "open" || now.HoldS != 0 {
		t.Errorf("the batch in hand: %+v, %v", now, err)
	}
	if none, err := k.app.Course(t.Context(), "b9"); err != nil || len(none.Phases) != 0 {
		t.Errorf("a batch that is not there: %+v, %v", none, err)
	}
}

// The log of the bath tells of goods, and marks what was taken back.
func TestTheLogTellsOfGoods(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	lines, err := k.app.Events(t.Context(), "north", 1)
	want := number + ", filled bottles 1 and 2: 250 ml (at 21 °C) each, cool and dark, labelled (Robin)"
	if err != nil || len(lines) != 1 || lines[0].Text != want || !lines[0].Voidable {
		t.Fatalf("got %+v, %v, want %q", lines, err, want)
	}
	if err := k.app.TakeBack(t.Context(), lines[0].Entry, "wrong size", "Robin"); err != nil {
		t.Fatal(err)
	}
	if lines, _ = k.app.Events(t.Context(), "north", 2); !lines[1].Voided || lines[1].Voidable {
		t.Errorf("after it was taken back: %+v", lines[1])
	}
}

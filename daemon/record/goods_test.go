package record

import (
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/rules/batch/ledger"
)

func much(s string) ledger.Amount { return must(ledger.ParseAmount(s)) }

// goods is one fact of each kind, with every field in use.
func goods() []ledger.Fact {
	return []ledger.Fact{
		ledger.Material{Batch: "b1", What: ledger.Oil, Name: "sunflower", Lot: "S-17", BestBefore: must(ledger.ParseDay("2027-05-31")), Quantity: much("800 ml"), AtC: 20.5, Pass: 2},
		ledger.Material{Batch: "b1", What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: "hedge, 28 Feb", Quantity: much("220 g"), State: ledger.Fresh},
		ledger.Weighing{Batch: "b1", What: ledger.OilOut, Quantity: much("1.45 lb"), Within: much("0.5 g"), Pass: 1},
		ledger.Bottles{Batch: "b1", Numbers: []int{1, 2, 3}, Each: much("3.4 floz"), AtC: 20, Place: ledger.Cool, UseBy: must(ledger.ParseDay("2027-03-01")), Label: true, Water: ledger.NoWater},
		ledger.Moved{Batch: "b1", Numbers: []int{2}, Place: ledger.Room},
		ledger.Given{Batch: "b1", Bottle: 1, Quantity: much("30 ml"), Product: "cream-1", Name: "ribwort cream", Despite: "a test"},
		ledger.Given{Batch: "cream-1", All: true, To: "book 12"},
		ledger.Given{Batch: "b1", Bottle: 2, All: true, Thrown: true},
		ledger.Smelled{Batch: "b1", Numbers: []int{3}, Smell: ledger.Rancid},
		ledger.Deviation{Batch: "b1", Text: "boiled over", Explanation: "nothing came into the oil"},
	}
}

// What the record keeps of goods it gives back as it was, with who entered it.
func TestGoodsAreReadBackAsTheyWere(t *testing.T) {
	for i, f := range goods() {
		b := must(GoodsOf(f, "Robin"))
		e := must(Of(0, nine, "north", b))
		e.Seq = int64(i + 1)
		back, ok, err := e.Fact()
		if want := (ledger.Entry{Seq: e.Seq, When: nine, Who: "Robin", Fact: f}); err != nil || !ok || !reflect.DeepEqual(back, want) {
			t.Errorf("%s became %+v, %v, %v", e.Body, back, ok, err)
		}
		if !e.Kind.Goods() || !e.Kind.Known() {
			t.Errorf("kind %s is not known, or not of goods", e.Kind)
		}
	}
	if _, err := GoodsOf(ledger.Opened{Batch: "b1"}, "Robin"); err == nil {
		t.Error("a person can enter the opening of a batch")
	}
	if _, err := Of(0, nine, "north", Moved{}); err == nil || !strings.Contains(err.Error(), "no batch is named") {
		t.Errorf("an empty move gives %v", err)
	}
}

// The words of the file stay as they are for ten years.
func TestTheWordsOfGoodsInTheFile(t *testing.T) {
	var got []string
	for _, f := range goods() {
		b := must(GoodsOf(f, "AB"))
		got = append(got, string(b.Kind())+" "+string(must(Of(0, nine, "", b)).Body))
	}
	want := []string{
		`material {"batch":"b1","what":"oil","name":"sunflower","lot":"S-17","best_before":"2027-05-31","quantity":"800 ml","at_c":20.5,"pass":2,"by":"AB"}`,
		`material {"batch":"b1","what":"herb","name":"Plantago lanceolata, leaf","lot":"hedge, 28 Feb","quantity":"220 g","state":"fresh","by":"AB"}`,
		`weighing {"batch":"b1","what":"oil-out","quantity":"1.45 lb","within":"0.5 g","pass":1,"by":"AB"}`,
		`bottles {"batch":"b1","bottles":[1,2,3],"each":"3.4 floz","at_c":20,"place":"cool","use_by":"2027-03-01","label":true,"water":"none","by":"AB"}`,
		`moved {"batch":"b1","bottles":[2],"place":"room","by":"AB"}`,
		`given {"batch":"b1","bottle":1,"quantity":"30 ml","product":"cream-1","name":"ribwort cream","despite":"a test","by":"AB"}`,
		`given {"batch":"cream-1","all":true,"reference":"book 12","by":"AB"}`,
		`given {"batch":"b1","bottle":2,"all":true,"thrown":true,"by":"AB"}`,
		`smelled {"batch":"b1","bottles":[3],"smell":"rancid","by":"AB"}`,
		`deviation {"batch":"b1","text":"boiled over","explanation":"nothing came into the oil","by":"AB"}`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// Goods gives what the books are kept from, of every bath and of the site, in the
// order of the log, and nothing else; batches come with their baths.
func TestGoodsGivesWhatTheBooksAreKeptFrom(t *testing.T) {
	r := openIn(t, t.TempDir())
	at := time.Duration(0)
	var want []int64
	put := func(bath string, b Body, counts bool) Entry {
		at += time.Second
		kept := appendTo(t, r, OfFrame("north", frameAt(at)), must(Of(at, nine.Add(at), bath, b)))
		if counts {
			want = append(want, kept[1].Seq)
		}
		return kept[1]
	}
	put("south", Batch{State: Opened, Number: "b1", Recipe: "ribwort"}, true)
	put("", Clock{}, false)
	for _, f := range goods() {
		put("south", must(GoodsOf(f, "Robin")), true)
	}
	put("north", opened("c"), false)
	put("", Correction{Voids: want[3], Reason: "a slip", By: "Robin"}, true)
	closing := put("south", Batch{State: Closed, Number: "b1", Verdict: "held"}, true)
	all := must(r.Goods(t.Context()))
	var got []int64
	for _, e := range all {
		got = append(got, e.Seq)
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	f, ok, err := all[0].Fact()
	if opening := (ledger.Opened{Batch: "b1", Bath: "south", Recipe: "ribwort"}); err != nil || !ok || f.Fact != ledger.Fact(opening) {
		t.Errorf("the opening is %+v, %v", f, err)
	}
	f, ok, err = closing.Fact()
	if err != nil || !ok || f.Fact != ledger.Fact(ledger.Closed{Batch: "b1", Verdict: "held"}) {
		t.Errorf("the closing is %+v, %v", f, err)
	}
	if _, ok, err := all[len(all)-2].Fact(); ok || err != nil {
		t.Errorf("a correction is a fact, %v", err)
	}
}

// Years of readings and alarms cost nothing when the books are read.
func TestGoodsAreFoundThroughTheIndex(t *testing.T) {
	r := openIn(t, t.TempDir())
	var plan []string
	rows := must(r.db.QueryContext(t.Context(), "EXPLAIN QUERY PLAN "+goodsSQL))
	defer rows.Close()
	for rows.Next() {
		var line string
		if err := rows.Scan(new(int), new(int), new(int), &line); err != nil {
			t.Fatal(err)
		}
		plan = append(plan, line)
	}
	if all := strings.Join(plan, "\n"); !strings.Contains(all, "SEARCH entry USING INDEX entry_of (kind=?)") || strings.Contains(all, "SCAN entry") {
		t.Errorf("the plan is\n%s", all)
	}
	for _, k := range goodsKinds() {
		if !strings.Contains(goodsSQL, "'"+string(k)+"'") {
			t.Errorf("kind %s is not asked for", k)
		}
	}
}

// OfBatch gives the config that held, the opening, what happened at that bath and
// site, and the closing; neither what was before nor what came after.
func TestOfBatchGivesTheBatchAlone(t *testing.T) {
	r := openIn(t, t.TempDir())
	at := time.Duration(0)
	var seqs []int64
	put := func(bath string, b Body) {
		at += time.Second
		seqs = append(seqs, appendTo(t, r, must(Of(at, nine.Add(at), bath, b)))[0].Seq)
	}
	put("north", Config{})
	put("north", Config{})
	put("south", Batch{State: Opened, Number: "s1"})
	put("north", Batch{State: Opened, Number: "n1"})
	put("south", Phase{Phase: "heating"})
	put("north", Phase{Phase: "heating"})
	put("", Clock{})
	put("north", Batch{State: Closed, Number: "n1"})
	put("north", Phase{Phase: "idle"})
	batches := must(r.Batches(t.Context()))
	for i, want := range [][]int64{{3, 5, 7}, {2, 4, 6, 7, 8}} { // south is open yet, and has no config
		var got []int64
		for e, err := range r.OfBatch(t.Context(), batches[i]) {
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, e.Seq)
		}
		if !slices.Equal(got, want) {
			t.Errorf("of %s: %v, want %v", batches[i].Batch.Number, got, want)
		}
	}
	for e := range r.OfBatch(t.Context(), BatchEntries{}) {
		t.Errorf("of a batch whose opening is not held: entry %d", e.Seq)
	}
}

// The statement of READING.md finds what a lot went into, without what was taken
// back.
func TestThePageShowsWhereALotWent(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	for _, f := range goods() {
		appendTo(t, r, must(Of(0, nine, "north", must(GoodsOf(f, "Robin")))))
	}
	appendTo(t, r, must(Of(0, nine, "", Correction{Voids: 8, Reason: "not thrown"})))
	page := string(must(os.ReadFile("READING.md")))
	_, after, found := strings.Cut(page, "## Where a lot went")
	_, statement, ok := strings.Cut(after, "\n\n    ")
	statement, _, ends := strings.Cut(statement, "\n\n")
	if !found || !ok || !ends {
		t.Fatal("READING.md has no statement under \"Where a lot went\"")
	}
	want := "b1|sunflower|4|bottles|[1,2,3]||\nb1|sunflower|6|given|1||cream-1\n"
	if got := shell(t, dir, statement); got != want {
		t.Errorf("%s\nsays\n%s\nwant\n%s", statement, got, want)
	}
	for _, k := range goodsKinds() {
		if !strings.Contains(page, "| `"+string(k)+"` |") {
			t.Errorf("kind %q is not explained", k)
		}
	}
}

package web

import (
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// goodsPages is the address of every page of goods in the yard of yardKeeper.
var goodsPages = [...]string{"/batches", "/batch/2026-03-01-north-1", "/batch/2026-05-30-north-1", "/shelf", "/recall", "/recall?find=hedge+28/2"}

func yardPages(t *testing.T) (*keeper, *planningView, http.Handler) {
	t.Helper()
	k, v := yardKeeper(t), newPlanningView(holding("north"), base("south"))
	return k, v, newHandler(t, v, k)
}

// words is the text of a page without its markup, its spaces drawn together.
func words(body string) string {
	return strings.Join(strings.Fields(html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(body, " "))), " ")
}

// holds fails for every want that the text lacks.
func holds(t *testing.T, what, text string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(text, want) {
			t.Errorf("%s lacks %q", what, want)
		}
	}
}

// The list names every batch, the newest first, with verdict, strength, bottles
// and what is amiss.
func TestBatchesAreListedNewestFirst(t *testing.T) {
	_, _, h := yardPages(t)
	body := page(t, h, "/batches")
	at := -1
	for _, number := range []string{"2026-05-30-north-1", "2026-03-03-north-1", "2026-03-02-south-1", "2026-03-01-north-1"} {
		i := strings.Index(body, `<li data-batch="`+number)
		if i < at {
			t.Errorf("%s is listed too early", number)
		}
		at = i
	}
	holds(t, "the list", words(body), "not finished", "spoiled", "too short", "held", "Strength 1:17.6", "6, 440 ml left", "Deviations 1", "Warnings 1", "none yet")
}

// A list of many batches is cut into pages that lead on.
func TestManyBatchesTakeSeveralPages(t *testing.T) {
	k := newKeeper(t)
	for i := range 30 {
		k.put(ledger.Opened{Batch: fmt.Sprintf("b%d", i), Bath: "north"})
	}
	h := newHandler(t, newFakeView(holding("north")), k)
	first, second := page(t, h, "/batches"), page(t, h, "/batches?page=2")
	holds(t, "the first page", first, `data-batch="b29"`, `href="/batches?page=2"`, "of 31 in all")
	holds(t, "the second page", second, `data-batch="b0"`, `data-batch="2026-03-01-north-1"`, `href="/batches?page=1"`)
	if strings.Contains(first, `data-batch="b0"`) || strings.Contains(second, `data-batch="b29"`) {
		t.Error("a batch is on both pages")
	}
}

// All that the JSON says of a batch stands in the HTML itself, to be read without
// JavaScript: materials, weighings, balance, strength, bottles, where they went,
// the course, and what was taken back with its reason.
func TestThePageOfABatchHoldsEverything(t *testing.T) {
	k, _, h := yardPages(t)
	text := words(page(t, h, "/batch/2026-03-01-north-1"))
	a, err := k.books.Account("2026-03-01-north-1")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range a.Materials {
		holds(t, "the page", text, m.Fact.Name, "lot "+m.Fact.Lot, m.Fact.Quantity.String())
	}
	for _, w := range a.Weighings {
		holds(t, "the page", text, w.Fact.Quantity.String())
	}
	holds(t, "the page", text, a.Strength.Lines(rules.Metric)...)
	for _, e := range k.past {
		if ledger.Of(e.Fact) == a.Batch || ledger.Of(e.Fact) == "cream-4" {
			holds(t, "the list of what was entered", text, e.Fact.String())
		}
	}
	holds(t, "the page", text,
		"held", "ribwort-fresh in north", "bottle 1 40 ml of 100 ml", "bottles 4–6 100 ml each", "good until 2027-05-31 the base oil's own date",
		"it was moved to a warmer place", "60 ml into ribwort cream cream-4", "100 ml to book 12", "to book 14 50 g from cream-4", "batch 2026-03-03-north-1",
		"What went in and what came out agree.", "Herb and oil in 951 g", "600 ml: 440 ml left, 160 ml went",
		"Maceration 1 held Held 2 h 00 min of 2 h 00 min, hottest oil 95.1 °C", "top-up-due × 2", "nobody acknowledged it", "acknowledged by Robin", "turn-down taken back : a slip",
		"The hob went out for four minutes", "lit again; the hold was counted on by the rules",
		"deviation: the lid was forgotten taken back : it was on, see the photograph", "Sorrel",
	)
}

// An entry that was taken back is struck and cannot be taken back again.
func TestWhatWasTakenBackIsStruck(t *testing.T) {
	_, _, h := yardPages(t)
	body := page(t, h, "/batch/2026-03-01-north-1")
	struck := regexp.MustCompile(`(?s)<li class="deed voided"[^>]*>.*?</li>`).FindAllString(body, -1)
	if len(struck) != 1 || !strings.Contains(struck[0], "<s><bdi>deviation: the lid was forgotten</bdi></s>") || strings.Contains(struck[0], "<form") {
		t.Errorf("struck are %q", struck)
	}
	if n := strings.Count(body, `data-post="/api/goods/void"`); n != 11 {
		t.Errorf("%d entries can be taken back, want 11", n)
	}
}

// What is rancid or past its date comes before what wants a nose, and then every
// place with what is to be used first.
func TestTheShelfBeginsWithWhatIsDue(t *testing.T) {
	_, _, h := yardPages(t)
	text := words(page(t, h, "/shelf"))
	at := 0
	for _, want := range []string{
		"10 bottles, 940 ml in all", "To do today 2026-06-01",
		"2026-03-03-north-1 bottle 2 it was found rancid", "2026-03-02-south-1 bottles 1–2 it was good until 2026-05-15: throw it away",
		"2026-03-01-north-1 bottles 1–2, 4–6 smell at it: nobody has since 2026-03-01", "Smelled: fine", "Smelled: rancid",
		"At room temperature, dark 4 bottles", "2026-03-02-south-1 bottles 1–2", "Cool and dark 3 bottles", "In the refrigerator 3 bottles",
	} {
		i := strings.Index(text[at:], want)
		if i < 0 {
			t.Fatalf("%q is missing in, or too early for, %q", want, text[at:])
		}
		at += i + len(want)
	}
	empty := words(page(t, newHandler(t, newFakeView(), newKeeper(t)), "/shelf"))
	holds(t, "an empty shelf", empty, "No bottle stands here.")
}

// One question is answered both ways: from a lot to bottles, products and
// references; from a bottle, a product or a reference to the lots behind it.
func TestARecallIsAnsweredOnAPage(t *testing.T) {
	_, _, h := yardPages(t)
	for ask, wants := range map[string][]string{
		"HEDGE28/2": {"lot hedge 28/2", "11 bottles, of which 10 still stand here with 940 ml", "1 product", "Went to 2 references",
			"in batch 2026-03-01-north-1", "in batch 2026-03-02-south-1", "2026-03-01-north-1 bottle 1 40 ml of 100 ml at room temperature, dark 60 ml into ribwort cream cream-4",
			"bottle 3 empty gone 100 ml to book 12", "2026-03-03-north-1 bottle 2 100 ml rancid in the refrigerator", "ribwort cream cream-4 of 2026-03-01-north-1/1", "to book 14 50 g from cream-4",
			"Nothing of this site: it came from elsewhere."},
		"2026-03-03-north-1/1": {"bottle 2026-03-03-north-1/1", "lot meadow 2", "lot 2026-03-01-north-1/4", "lot hedge 28/2", "Bottles: 2026-03-01-north-1/4"},
		"cream-4":              {"product cream-4", "Behind it", "lot S-17", "Bottles: 2026-03-01-north-1/1", "to book 14"},
		"ribwort cream":        {"product cream-4"},
		"book 14":              {"reference book 14", "What it had", "50 g from cream-4", "lot hedge 28/2", "Products: cream-4"},
		"2026-03-02-south-1":   {"batch 2026-03-02-south-1", "2 bottles", "Nothing went to a reference."},
	} {
		status, header, _ := get(t, h, "/batches?find="+urlEscape(ask))
		if status != http.StatusSeeOther {
			t.Fatalf("/batches?find=%s: status %d", ask, status)
		}
		holds(t, "the answer to "+ask, words(page(t, h, header.Get("Location"))), wants...)
	}
	var answer struct {
		Found []struct {
			As   string
			Into struct{ Products []struct{ Product string } }
		}
	}
	if readInto(t, h, "/api/recall?find=hedge+28/2", &answer); len(answer.Found) != 1 || answer.Found[0].As != "lot" || len(answer.Found[0].Into.Products) != 1 {
		t.Errorf("the JSON says %+v", answer)
	}
}

// The head of every page leads to the others and says how many bottles wait; where
// no books are kept and nothing is planned, it leads nowhere.
func TestTheHeadLeadsToTheOtherPages(t *testing.T) {
	_, _, h := yardPages(t)
	for _, path := range append(goodsPages[:], "/", "/bath/north", "/plan") {
		holds(t, path, page(t, h, path), `<a href="/batches"`, `<a href="/shelf"`, `, 10 due</span>`, `<a href="/plan"`)
	}
	holds(t, "the shelf", page(t, h, "/shelf"), `<a href="/shelf" aria-current="page">`)
	bare := newHandler(t, newFakeView(base("north")), newFakeDoer())
	if body := page(t, bare, "/"); strings.Contains(body, `class="places"`) {
		t.Error("a page leads to pages that are not there")
	}
	for _, path := range goodsPages {
		if status, _, _ := get(t, bare, path); status != http.StatusNotFound {
			t.Errorf("GET %s without books: status %d", path, status)
		}
	}
}

// Whoever reads about bottles is told of a pan that runs dry.
func TestAnAlarmStandsOnPagesOfGoods(t *testing.T) {
	k := yardKeeper(t)
	h := newHandler(t, newFakeView(boilingDry("north"), base("south")), k)
	for _, path := range goodsPages {
		holds(t, path, page(t, h, path), `<p class="standing grave"><a href="/bath/north"><b>north</b>: boiling-dry`)
	}
	h = newHandler(t, newFakeView(base("north")), k)
	if strings.Contains(page(t, h, "/shelf"), `class="standing`) {
		t.Error("an alarm is said to stand where none does")
	}
}

// The forms offer lots that were used before, what the recipe asks for, and only
// bottles in which something is left.
func TestTheFormsOfABatchOfferWhatIsKnown(t *testing.T) {
	k := yardKeeper(t)
	b := holding("north")
	b.Batch = "2026-05-30-north-1"
	h := newHandler(t, newFakeView(b), k)
	fresh := page(t, h, "/batch/2026-05-30-north-1")
	holds(t, "the page of a new batch", fresh,
		`name="name" value="Plantago lanceolata, leaf"`, `<option value="hedge 28/2" data-name="Plantago lanceolata, leaf"`, `<option value="S-17" data-name="sunflower" data-best_before="2027-05-31"`,
		`name="quantity" value="220"`, `name="quantity" value="800"`, `name="at_c" value="21" data-as="celsius" data-unit="C"`)
	if strings.Contains(fresh, `data-key="give"`) {
		t.Error("something is to be given out of a batch without bottles")
	}
	made := page(t, h, "/batch/2026-03-01-north-1")
	holds(t, "the page of a made batch", made, `<option value="1">1: 40 ml left</option>`, `data-post="/api/batch/cream-4/given"`)
	if strings.Contains(made, `<option value="3">`) {
		t.Error("an empty bottle is offered")
	}
	past := page(t, h, "/batch/2026-03-02-south-1")
	holds(t, "a batch past its date", past, `name="despite"`)
	if strings.Contains(fresh, `name="despite"`) {
		t.Error("a good batch asks why it goes out all the same")
	}
}

// A plan that was asked for in ounces keeps its ounces in the form, also on a
// metric site, and grams on a US one.
func TestThePlanKeepsTheUnitThatWasAsked(t *testing.T) {
	v := newPlanningView(base("north"))
	h := newHandler(t, v, newFakeDoer())
	holds(t, "the metric form", page(t, h, "/plan?oil_oz=16&herb_g=90"), `Oil, oz <input name="oil_oz" value="16"`, `Herb, g <input name="herb_g" value="90"`, `Water, g <input name="water_g" value=""`)
	v.site.Units = rules.US
	holds(t, "the US form", page(t, h, "/plan?oil_g=500"), `Oil, g <input name="oil_g" value="500"`, `Herb, oz <input name="herb_oz" value=""`)
}

// Every address of the pages and of the recall is described.
func TestTheDescriptionNamesThePagesOfGoods(t *testing.T) {
	text, err := os.ReadFile("API.md")
	if err != nil {
		t.Fatal(err)
	}
	holds(t, "API.md", string(text), "`GET /batches`", "`GET /batch/NUMBER`", "`GET /shelf`", "`GET /recall?find=`", "| `GET /api/recall?find=NAME` |")
}

// Fields of a recall are those that the description names.
func TestTheRecallIsAsDescribed(t *testing.T) {
	_, _, h := yardPages(t)
	var answer map[string][]map[string]json.RawMessage
	readInto(t, h, "/api/recall?find=hedge+28/2", &answer)
	for field := range answer["found"][0] {
		if !strings.Contains(string(apiText), "`"+field+"`") {
			t.Errorf("API.md does not name %s", field)
		}
	}
}

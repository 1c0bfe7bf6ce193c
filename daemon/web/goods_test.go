package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"testing"
)

// readInto reads an address and its JSON into answer.
func readInto(t *testing.T, h http.Handler, path string, answer any) int {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
	if err := json.Unmarshal(w.Body.Bytes(), answer); err != nil {
		t.Fatalf("GET %s: %v in %s", path, err, w.Body)
	}
	return w.Code
}

const batchPath = "/api/batch/2026-03-01-north-1"

// stocked is a keeper with one batch in bottles, one of which went into a cream,
// all of it entered through the interface.
func stocked(t *testing.T) (*keeper, http.Handler) {
	t.Helper()
	k := newKeeper(t)
	h := newHandler(t, newFakeView(holding("north")), k)
	for _, c := range []struct{ path, body, says string }{
		{batchPath + "/material", `{"what":"herb","name":"Plantago lanceolata, leaf","lot":"hedge 28/2","quantity":"220 g","state":"fresh","who":"AB"}`, "recorded: herb: 220 g of Plantago lanceolata, leaf, lot hedge 28/2, fresh"},
		{batchPath + "/material", `{"what":"oil","name":"sunflower","lot":"S-17","best_before":"2027-05-31","quantity":"800 ml","at_c":20,"who":"AB"}`, "recorded: oil: 800 ml (at 20 °C) of sunflower, lot S-17, best before 2027-05-31"},
		{batchPath + "/weighing", `{"what":"oil-out","quantity":"640 g","within":"1 g","who":"AB"}`, "recorded: weighed: oil out 640 g"},
		{batchPath + "/bottles", `{"count":2,"each":"250 ml","at_c":21,"place":"cool","label":true,"water":"none","who":"AB"}`, "recorded: filled bottles 1 and 2: 250 ml (at 21 °C) each, cool and dark, labelled"},
		{batchPath + "/moved", `{"bottles":[1],"place":"room","who":"AB"}`, "recorded: bottle 1 moved: at room temperature, dark"},
		{batchPath + "/given", `{"bottle":1,"quantity":"60 ml","product":"cream-4","name":"ribwort cream","who":"AB"}`, "recorded: 60 ml of bottle 1 into ribwort cream cream-4"},
		{"/api/batch/cream-4/given", `{"all":true,"reference":"book 14","who":"AB"}`, "recorded: all of product cream-4 given, reference book 14"},
		{batchPath + "/smelled", `{"bottles":[2],"smell":"fine","who":"AB"}`, "recorded: smelled at bottle 2: fine"},
		{batchPath + "/deviation", `{"text":"the lid was forgotten","explanation":"nothing fell in","who":"AB"}`, "recorded: deviation: the lid was forgotten; nothing fell in"},
	} {
		if status, text := post(h, c.path, c.body); status != http.StatusOK || text != c.says {
			t.Fatalf("POST %s %s: status %d %q, want %q", c.path, c.body, status, text, c.says)
		}
	}
	return k, h
}

// What is entered through the interface is read through it again; a lot whose
// name holds a stroke is found too.
func TestGoodsAreEnteredAndReadThroughTheInterface(t *testing.T) {
	_, h := stocked(t)
	var sheet struct {
		Batch, Bath, Verdict string
		Materials            []struct {
			Entry int64
			Who   string
			Fact  struct{ Lot, Quantity string }
		}
		Bottles []struct {
			Bottle, Place string
			LeftMl        float64 `json:"left_ml"`
			UseBy         string  `json:"use_by"`
		}
		Course struct {
			HoldS float64 `json:"hold_s"`
		}
		Balance struct {
			OilOut *struct{ P50 float64 } `json:"oil_out_kg"`
			In     *struct{ P50 float64 } `json:"in_kg"`
			Lacks  string
		}
	}
	if status := readInto(t, h, batchPath, &sheet); status != http.StatusOK || sheet.Bath != "north" || sheet.Course.HoldS != 7212 || len(sheet.Bottles) != 2 {
		t.Fatalf("status %d, %+v", status, sheet)
	}
	if m := sheet.Materials[0]; m.Entry != 2 || m.Who != "AB" || m.Fact.Lot != "hedge 28/2" || m.Fact.Quantity != "220 g" {
		t.Errorf("the herb is %+v", m)
	}
	if o := sheet.Bottles[0]; o.Bottle != "2026-03-01-north-1/1" || o.LeftMl != 190 || o.Place != "room" || o.UseBy != "2027-03-01" {
		t.Errorf("the first bottle is %+v", o)
	}
	if b := sheet.Balance; b.OilOut == nil || b.OilOut.P50 != 0.64 || b.In != nil || b.Lacks == "" {
		t.Errorf("the balance is %+v", b)
	}
	var list struct {
		Batches []struct {
			Batch   string
			Bottles int
		}
	}
	if readInto(t, h, "/api/batches", &list); len(list.Batches) != 1 || list.Batches[0].Bottles != 2 {
		t.Errorf("the list is %+v", list)
	}
	for _, lot := range []string{"hedge%2028/2", "HEDGE28%2F2", "S-17"} {
		var recall struct {
			Batches    []string
			References []struct{ From, Reference string }
		}
		if status := readInto(t, h, "/api/lot/"+lot, &recall); status != http.StatusOK || len(recall.Batches) != 1 || len(recall.References) != 1 || recall.References[0].Reference != "book 14" {
			t.Errorf("lot %s: status %d, %+v", lot, status, recall)
		}
	}
}

// The shelf lists what stands there, what is due, and the trail of one bottle.
func TestTheShelfThroughTheInterface(t *testing.T) {
	_, h := stocked(t)
	var shelf struct {
		Today   string
		Bottles []struct{ Bottle string }
		Due     []struct {
			Bottle struct{ Bottle string }
			Why    string
		}
	}
	if readInto(t, h, "/api/shelf", &shelf); shelf.Today != "2026-06-01" || len(shelf.Bottles) != 2 {
		t.Errorf("the shelf is %+v", shelf)
	}
	if readInto(t, h, "/api/shelf?due", &shelf); len(shelf.Due) != 2 || !strings.HasPrefix(shelf.Due[0].Why, "smell at it") {
		t.Errorf("due are %+v", shelf.Due)
	}
	var trail struct {
		Behind struct{ Batches []string }
		Into   struct{ Products []struct{ Product string } }
	}
	readInto(t, h, "/api/shelf?bottle=2026-03-01-north-1/1", &trail)
	if !slices.Equal(trail.Behind.Batches, []string{"2026-03-01-north-1"}) || len(trail.Into.Products) != 1 {
		t.Errorf("the trail is %+v", trail)
	}
}

// A wrong request is 400, a name that is not there 404, and what cannot have
// happened 409; each in words, and nothing is entered.
func TestWrongGoodsChangeNothing(t *testing.T) {
	k, h := stocked(t)
	before := k.seq
	for _, c := range []struct {
		path, body string
		status     int
		says       string
	}{
		{batchPath + "/material", `{"what":"herb","name":"ribwort","quantity":"220 g","state":"fresh"}`, 400, "has no lot"},
		{batchPath + "/material", `{"what":"herb","quantity":"much"}`, 400, "number and a unit"},
		{batchPath + "/material", `{"what":"oil","best_before":"31.5.2027"}`, 400, "want year, month and day"},
		{batchPath + "/material", `{"what":"herb","colour":"green"}`, 400, "unknown field"},
		{batchPath + "/deviation", `{"text":"two\nlines"}`, 400, "one line"},
		{batchPath + "/deviation", `{"text":"x","batch":"other"}`, 400, "leave the batch out"},
		{batchPath + "/deviation", `{"text":"x","who":"` + strings.Repeat("x", 41) + `"}`, 400, "40 characters"},
		{batchPath + "/bottles", `{"each":"100 ml","at_c":20,"place":"cool"}`, 400, "no bottle is named"},
		{batchPath + "/bottles", `{"count":99999,"each":"100 ml","at_c":20,"place":"cool"}`, 409, "no bottle is named"},
		{batchPath + "/given", `{"bottle":1,"quantity":"1 l","reference":"x"}`, 409, "holds 190 ml"},
		{batchPath + "/given", `{"bottle":3,"all":true,"reference":"x"}`, 404, "the batch has bottles 1 and 2"},
		{"/api/batch/2026-03-01-nort-1/deviation", `{"text":"x"}`, 404, `did you mean "2026-03-01-north-1"?`},
		{"/api/batch/cream-4/given", `{"all":true,"reference":"x"}`, 409, "nothing is left of product cream-4"},
		{"/api/goods/void", `{"entry":5,"reason":"a slip"}`, 409, "take it back first"},
		{"/api/goods/void", `{"entry":5}`, 400, "a reason"},
		{batchPath + "/dance", `{}`, 404, ""},
	} {
		status, text := post(h, c.path, c.body)
		if status != c.status || !strings.Contains(text, c.says) {
			t.Errorf("POST %s %.60s: status %d %q, want %d and %q", c.path, c.body, status, text, c.status, c.says)
		}
	}
	if k.seq != before {
		t.Errorf("%d facts were entered", k.seq-before)
	}
	for path, want := range map[string]int{
		"/api/batch/b9": 404, "/api/lot/Z": 404, "/api/shelf?bottle=b9/1": 404,
	} {
		var answer struct{ Error string }
		if status := readInto(t, h, path, &answer); status != want || answer.Error == "" {
			t.Errorf("GET %s: status %d %q, want %d", path, status, answer.Error, want)
		}
	}
	if status, _ := post(h, batchPath+"/deviation", `{"text":"x"}`, "Sec-Fetch-Site", "cross-site"); status != http.StatusForbidden {
		t.Errorf("another site's page: status %d", status)
	}
}

// The last entry can be taken back.
func TestGoodsAreTakenBackThroughTheInterface(t *testing.T) {
	k, h := stocked(t)
	if status, text := post(h, "/api/goods/void", `{"entry":10,"reason":"not so","who":"AB"}`); status != http.StatusOK || text != "taken back: entry 10" {
		t.Errorf("status %d %q", status, text)
	}
	if a, _ := k.books.Account("2026-03-01-north-1"); len(a.Deviations) != 0 {
		t.Errorf("the deviation stands: %+v", a.Deviations)
	}
}

// A record that cannot be read is not blamed on the one who asks, and a daemon
// without books serves none.
func TestGoodsThatCannotBeRead(t *testing.T) {
	k, h := stocked(t)
	k.broken = errors.New("read record: disk gone")
	var answer struct{ Error string }
	if status := readInto(t, h, batchPath, &answer); status != http.StatusInternalServerError || strings.Contains(answer.Error, "disk") {
		t.Errorf("status %d %q", status, answer.Error)
	}
	if status := readInto(t, newHandler(t, newFakeView(), newFakeDoer()), "/api/batches", &answer); status != http.StatusNotFound {
		t.Errorf("without books: status %d", status)
	}
}

// Every address of the goods is in the description of the interface.
func TestTheDescriptionNamesTheGoods(t *testing.T) {
	text, err := os.ReadFile("API.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, address := range strings.Fields("GET@/api/batches GET@/api/batch/NUMBER GET@/api/shelf GET@/api/lot/LOT POST@/api/batch/NUMBER/material " +
		"POST@/api/batch/NUMBER/weighing POST@/api/batch/NUMBER/bottles POST@/api/batch/NUMBER/moved POST@/api/batch/NUMBER/given " +
		"POST@/api/batch/NUMBER/smelled POST@/api/batch/NUMBER/deviation POST@/api/goods/void") {
		if !strings.Contains(string(text), "| `"+strings.Replace(address, "@", " ", 1)+"` |") {
			t.Errorf("API.md says nothing of %s", address)
		}
	}
}

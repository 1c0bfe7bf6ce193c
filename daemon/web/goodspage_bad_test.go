package web

import (
	"errors"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// What cannot be shown is said in plain words, on a page.
func TestBadAsksForGoodsSayWhatIsWrong(t *testing.T) {
	_, _, h := yardPages(t)
	for path, c := range map[string]struct {
		status int
		says   string
	}{
		"/batch/2026-03-01-nort-1":                 {404, `did you mean "2026-03-01-north-1"?`},
		"/batch/cream-4":                           {404, `batch "cream-4" is not in the record`},
		"/batch/%3Cscript%3E":                      {404, "is not in the record"},
		"/recall?find=hegde+28/2":                  {404, `did you mean "hedge 28/2"?`},
		"/recall?find=%E2%80%AEx":                  {404, "[U+202E]x"},
		"/recall?find=" + strings.Repeat("x", 501): {400, "more than 500 letters"},
		"/batches?page=0":                          {400, `page="0": want a whole number from 1`},
		"/batches?page=x":                          {400, "want a whole number"},
		"/batches?page=2":                          {404, "no page 2"},
		"/api/recall?find=nothing":                 {404, "is not in the record"},
		"/api/recall":                              {404, "is not in the record"},
	} {
		status, _, body := get(t, h, path)
		if text := words(body); status != c.status || !strings.Contains(text, c.says) && !strings.Contains(body, strings.ReplaceAll(c.says, `"`, `\"`)) || strings.Contains(body, "<script>") {
			t.Errorf("GET %s: status %d, want %d and %q in %s", path, status, c.status, c.says, text)
		}
	}
	holds(t, "a recall of nothing", words(page(t, h, "/recall?find=++")), "Any name leads both ways")
}

// A name that is markup, or turns its direction round, stays a name wherever it is
// shown.
func TestHostileNamesOnPagesOfGoods(t *testing.T) {
	const script, turned = `<script>alert(1)</script>"'`, "\u202egnihtyna"
	k := newKeeper(t)
	const number = "2026-03-01-north-1"
	k.put(
		ledger.Material{Batch: number, What: ledger.Herb, Name: script, Lot: script, Quantity: amountOf(t, "220 g"), State: ledger.Fresh},
		ledger.Material{Batch: number, What: ledger.Oil, Name: turned, Lot: turned, Quantity: amountOf(t, "800 g")},
		ledger.Bottles{Batch: number, Count: 2, Each: amountOf(t, "100 ml"), AtC: 21, Place: ledger.Cool},
		ledger.Given{Batch: number, Bottle: 1, Quantity: amountOf(t, "10 ml"), Product: script, Name: turned},
		ledger.Given{Batch: number, Bottle: 1, Quantity: amountOf(t, "10 ml"), To: script},
		ledger.Given{Batch: script, Quantity: amountOf(t, "10 g"), To: turned},
		ledger.Deviation{Batch: number, Text: script, Explanation: turned},
		ledger.Deviation{Batch: number, Text: "x"},
	)
	if err := k.TakeBack(t.Context(), k.seq, script, turned); err != nil {
		t.Fatal(err)
	}
	h := newHandler(t, newFakeView(holding("north")), k)
	for _, path := range []string{"/batches", "/batch/" + number, "/shelf", "/recall?find=" + urlEscape(script), "/recall?find=" + urlEscape(turned)} {
		body := page(t, h, path)
		if strings.Contains(body, "<script>") {
			t.Errorf("%s holds markup that somebody entered", path)
		}
		// Raw, it stands only where a form sends it back, never where it is read.
		for _, m := range regexp.MustCompile(`>[^<]*`).FindAllString(body, -1) {
			if strings.ContainsRune(m, '\u202e') {
				t.Errorf("%s shows a text that is turned round: %q", path, m)
			}
		}
	}
	holds(t, "the page", page(t, h, "/batch/"+number), "<bdi>&lt;script&gt;alert(1)&lt;/script&gt;&#34;&#39;</bdi>", "[U&#43;202E]gnihtyna")
	if body := page(t, h, "/batch/"+number); !strings.Contains(body, `data-post="/api/batch/%3Cscript%3Ealert%281%29%3C%2Fscript%3E%22%27/given"`) {
		t.Error("the form of a product has no address that can be trusted")
	}
}

// On a US site every amount is in ounces or fluid ounces and every temperature in
// °F; of what was entered in grams the grams stand beside it.
func TestPagesOfGoodsInUSUnits(t *testing.T) {
	_, v, h := yardPages(t)
	v.site.Units = rules.US
	entered := regexp.MustCompile(`\(\d[\d.]* (?:g|kg|ml)\)`)
	metric := regexp.MustCompile(`\d (?:g|kg|ml|l|°C)\b`)
	for _, path := range append(goodsPages[:], "/recall?find=2026-03-01-north-1/1", "/batch/2026-03-03-north-1") {
		text := entered.ReplaceAllString(words(page(t, h, path)), "")
		if at := metric.FindStringIndex(text); at != nil {
			t.Errorf("%s says %q", path, text[max(0, at[0]-40):min(len(text), at[1]+20)])
		}
	}
	body := page(t, h, "/batch/2026-05-30-north-1")
	holds(t, "the page", body, `data-as="celsius" data-unit="F"`, `<option value="floz" selected>fl oz</option>`, `<option value="oz" selected>oz</option>`)
	if _, text := post(h, "/api/batch/2026-05-30-north-1/material", `{"what":"oil","name":"sunflower","lot":"S-17","quantity":"27 floz","at_c":20,"who":"AB"}`); text != "recorded: oil: 27 fl oz of sunflower, lot S-17, measured at 68 °F" {
		t.Errorf("the answer is %q", text)
	}
	if _, text := post(h, "/api/batch/2026-03-01-north-1/given", `{"bottle":1,"quantity":"30 floz","reference":"x","who":"AB"}`); !strings.Contains(text, "holds 1.4 fl oz") {
		t.Errorf("the refusal is %q", text)
	}
}

// A record that cannot be read hides nothing that stands in the books.
func TestABrokenRecordHidesNoBottle(t *testing.T) {
	k, _, h := yardPages(t)
	k.broken, k.lost = errors.New("read record: disk gone"), errors.New("read record: disk gone")
	text := words(page(t, h, "/batch/2026-03-01-north-1"))
	holds(t, "the page", text, "bottles 4–6", "How it went could not be read", "What was entered could not be read")
	if strings.Contains(text, "disk gone") {
		t.Error("the page tells of the disk")
	}
}

// The pages send only their own questions, run nothing inline and load only what
// is there.
func TestPagesOfGoodsSendOnlyTheirQuestions(t *testing.T) {
	_, _, h := yardPages(t)
	for _, path := range goodsPages {
		_, header, body := get(t, h, path)
		csp := header.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") || strings.Contains(body, "<script>") || strings.Contains(body, " style=") {
			t.Errorf("%s: policy %q", path, csp)
		}
		if strings.Contains(body, `method="get"`) != strings.Contains(csp, "form-action 'self'") {
			t.Errorf("%s: its form does not fit the policy %q", path, csp)
		}
		for _, m := range regexp.MustCompile(`(?:src|href)="(/static/[^"]*)"`).FindAllStringSubmatch(body, -1) {
			if status, _, _ := get(t, h, m[1]); status != http.StatusOK {
				t.Errorf("%s loads %s: status %d", path, m[1], status)
			}
		}
	}
}

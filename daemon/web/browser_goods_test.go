package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// In a browser a batch is taken from its herb to a cream that went out, and the
// recall of the herb's lot finds the cream and where it went; refusals are told,
// entries taken back, bottles smelled at with one press, and no page is wider than
// a phone.
func TestGoodsInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			v := newPlanningView(holding("north"), base("south"))
			g := &goodsTab{address: startGoods(t, v, yardKeeper(t))}
			g.tab = openTab(t, chromium, width, g.address+"/batch/2026-05-30-north-1")
			t.Run("from the herb to the recall", func(t *testing.T) { g.t = t; g.fromHerbToRecall() })
			t.Run("a refusal is told, and an entry taken back", func(t *testing.T) { g.t = t; g.takesBack() })
			t.Run("smelled at with one press", func(t *testing.T) { g.t = t; g.smells() })
			t.Run("thrown away, one by one", func(t *testing.T) { g.t = t; g.throwsAway() })
			t.Run("every page fits", func(t *testing.T) { g.t = t; g.fits() })
		})
	}
}

// goodsTab is an open page of goods.
type goodsTab struct {
	*tab
	address string
}

// enters opens a form, fills its fields in and sends it; it waits for the answer.
func (g *goodsTab) enters(key, says string, fields ...string) {
	g.t.Helper()
	deed := `[data-key="` + key + `"] `
	g.do(chromedp.Click(chromedp.CSS(deed+"[data-opens]")), chromedp.WaitVisible(chromedp.CSS(deed+"form")))
	for i := 0; i < len(fields); i += 2 {
		field := chromedp.CSS(deed + fields[i])
		if fields[i+1] == "press" {
			g.do(chromedp.Click(field))
		} else {
			ask[bool](g.tab, fmt.Sprintf(`(document.querySelector(%q).value = "", true)`, deed+fields[i]))
			g.do(chromedp.SendKeys(field, fields[i+1]))
		}
	}
	if len(fields) == 0 || fields[len(fields)-1] != "press" || fields[len(fields)-2] == "[name=all]" {
		g.do(chromedp.Click(chromedp.CSS(deed + "[type=submit]")))
	}
	g.answers(key, says)
}

// answers waits until the place of a form says something, or the top of the page
// if the form went with what was entered.
func (g *goodsTab) answers(key, says string) {
	g.t.Helper()
	g.until(fmt.Sprintf("%s is answered with %q", key, says),
		fmt.Sprintf(`[...document.querySelectorAll('[data-key=%q] [data-answer], [data-told]')].some((e) => e.textContent.includes(%q))`, key, says))
}

func (g *goodsTab) open(path string) {
	g.t.Helper()
	g.do(chromedp.Navigate(g.address + path))
	g.until("the page works", `document.documentElement.classList.contains("has-js")`)
}

func (g *goodsTab) fromHerbToRecall() {
	g.do(chromedp.SendKeys(chromedp.CSS("#who"), "AB"))
	g.enters("herb", "✓ recorded: herb: 220 g of Plantago lanceolata, leaf, lot hedge 9, fresh", "[name=lot]", "hedge 9")
	// The lot is known: its date is filled in.
	g.enters("oil", "✓ recorded: oil: 500.5 ml (at 22 °C) of sunflower, lot S-17, best before 2027-05-31",
		"[name=lot]", "S-17", "[name=quantity]", "500,5", "[name=at_c]", "22")
	g.enters("weighing", "✓ recorded: weighed: oil out 410 g", "[name=quantity]", "410", "[name=within]", "1")
	g.enters("bottles", "✓ recorded: filled bottles 1 to 3: 100 ml (at 21 °C) each, cool and dark, labelled", "[name=count]", "3", "[name=each]", "100")
	g.enters("product", "✓ recorded: 60 ml of bottle 1 into ribwort cream cream-9", "[name=quantity]", "60", "[name=product]", "cream-9", "[name=name]", "ribwort cream")
	g.enters("on-cream-9", "✓ recorded: all of product cream-9 given, reference book 77", "[name=reference]", "book 77", "[name=all]", "press")
	g.enters("give", "✓ recorded: all of bottle 1 given, reference book 78", "[name=reference]", "book 78", "[name=all]", "press")
	if !ask[bool](g.tab, `document.querySelector("main").textContent.includes("bottles 2–3")`) {
		g.t.Error("the page does not show what is in the books now")
	}
	if who := ask[string](g.tab, `document.querySelector("#who").value`); who != "AB" {
		g.t.Errorf("who enters is %q after all that", who)
	}
	g.mustBeClean()
	g.do(
		chromedp.Click(chromedp.CSS(`.places a[href="/batches"]`)), chromedp.WaitVisible(chromedp.CSS(".batches")),
		chromedp.SendKeys(chromedp.CSS("#find"), "HEDGE 9\r"), chromedp.WaitVisible(chromedp.CSS(".found")),
	)
	text := ask[string](g.tab, `document.querySelector(".found").innerText.replace(/\s+/g, " ")`)
	holds(g.t, "the recall", text, "lot hedge 9", "3 bottles, of which 2 still stand here with 200 ml", "ribwort cream cream-9", "to book 77", "to book 78")
	g.mustBeClean()
}

func (g *goodsTab) takesBack() {
	g.open("/batch/2026-05-30-north-1")
	g.enters("give", "Not recorded: 300 ml is more than there is: bottle 2026-05-30-north-1/2 holds 100 ml", "[name=quantity]", "300", "[name=reference]", "book 79")
	g.do(chromedp.KeyEvent("\u001b"))
	g.enters("deviation", "✓ recorded: deviation: the lid was forgotten", "[name=text]", "the lid was forgotten")
	slip := ask[string](g.tab, `document.querySelector(".past .deed").dataset.key`)
	g.enters(slip, "✓ taken back", "[name=reason]", "it was on")
	if !ask[bool](g.tab, `document.querySelector(".past .deed.voided").textContent.includes("it was on")`) {
		g.t.Error("what was taken back is not struck")
	}
	filled := ask[string](g.tab, `[...document.querySelectorAll(".past .deed")].find((d) => d.textContent.includes("filled bottles")).dataset.key`)
	g.enters(filled, "take it back first", "[name=reason]", "a slip")
	// The refusals are 409, which browsers complain of.
	g.complaints = nil
	g.mustBeClean()
}

func (g *goodsTab) smells() {
	g.open("/shelf")
	const row = `[data-key="due-2026-03-01-north-1-1"] `
	g.do(chromedp.Click(chromedp.CSS(row+`[value="2"]`)), chromedp.Click(chromedp.CSS(row+"[value=fine]")))
	g.until("only the bottle that was left out is due", `document.querySelector("[data-key='due-2026-03-01-north-1-2'] .row-title")?.textContent.includes("bottle 2")`)
	g.do(chromedp.Click(chromedp.CSS(`[data-key="due-2026-03-01-north-1-2"] [value=rancid]`)))
	g.until("the rancid one is to be thrown away", `document.querySelector("[data-key='due-2026-03-01-north-1-2'] .wants")?.textContent.includes("throw it away")`)
	g.mustBeClean()
}

func (g *goodsTab) throwsAway() {
	g.enters("due-2026-03-02-south-1-1", "")
	g.until("both are gone", `!document.querySelector("[data-key='due-2026-03-02-south-1-1']") && document.querySelector("[data-told]")?.textContent.includes("thrown away (and 1 more)")`)
	g.mustBeClean()
}

func (g *goodsTab) fits() {
	for _, path := range append(goodsPages[:], "/", "/bath/north", "/batch/2026-03-01-north-1") {
		g.open(path)
		ask[bool](g.tab, `(document.querySelectorAll("form.confirm, details").forEach((f) => { f.hidden = false; f.open = true; }), true)`)
		small := `[...document.querySelectorAll(".goods button, .goods select, .goods input:not([type=checkbox]):not([type=hidden]), .goods .chips label, .goods summary, .places a")].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 44).length`
		if n := ask[int](g.tab, small); n > 0 {
			g.t.Errorf("%s: %d things are too small for a finger (WCAG 2.2, 2.5.5: 44 px)", path, n)
		}
		g.mustBeClean()
	}
}

package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"bainward/rules"
	"bainward/rules/alarm"
)

func TestThePageInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			t.Run("a deed is confirmed, sent and told", func(t *testing.T) { confirmsADeed(t, chromium, width) })
			t.Run("works by keyboard", func(t *testing.T) { worksByKeyboard(t, chromium, width) })
			t.Run("shows a new alarm", func(t *testing.T) { showsANewAlarm(t, chromium, width) })
			t.Run("puts an alarm out of service", func(t *testing.T) { putsAside(t, chromium, width) })
			t.Run("takes an entry back", func(t *testing.T) { takesAnEntryBack(t, chromium, width) })
			t.Run("says when no data comes", func(t *testing.T) { saysWhenNoDataComes(t, chromium, width) })
			t.Run("asks about water that was seen", func(t *testing.T) { asksAboutWater(t, chromium, width) })
			t.Run("tells the time of the reader", func(t *testing.T) { tellsTheReadersTime(t, chromium, width) })
			t.Run("every scene fits", func(t *testing.T) { everySceneFits(t, chromium, width) })
		})
	}
}

func start(t *testing.T, v *fakeView, d *fakeDoer) *httptest.Server {
	t.Helper()
	server := httptest.NewServer(newHandler(t, v, d))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	return server
}

func confirmsADeed(t *testing.T, chromium context.Context, width int64) {
	d := newFakeDoer()
	page := openTab(t, chromium, width, start(t, newFakeView(holding("north")), d).URL)
	const deed = `[data-deed=top-up] `
	page.do(chromedp.Click(chromedp.CSS(deed+"[data-opens]")), chromedp.WaitVisible(chromedp.CSS(deed+"form")))
	if len(d.asked) > 0 {
		t.Fatalf("sent without confirmation: %s", <-d.asked)
	}
	page.do(
		chromedp.SendKeys(chromedp.CSS(deed+"[name=number]"), "0,5"), // a decimal comma, as many phones offer
		chromedp.Click(chromedp.CSS(deed+"[type=submit]")),
	)
	if got := nextDeed(t, d); got != `event north "top-up 0.5 l" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.until("the page says that it is recorded", `document.querySelector("[data-deed=top-up] [data-answer]").textContent.includes("recorded: top-up 0.5 l")`)
	if !ask[bool](page, `document.querySelector("[data-deed=top-up] form").hidden`) {
		t.Error("the confirmation stays open")
	}
	page.mustBeClean()

	d.refuse = errBroken
	page.do(chromedp.Click(chromedp.CSS(deed+"[data-opens]")), chromedp.Click(chromedp.CSS(deed+"[type=submit]")))
	nextDeed(t, d)
	page.until("the refusal is told", `document.querySelector("[data-deed=top-up] [data-answer]").textContent.includes("Not recorded: read record: disk gone")`)
}

func worksByKeyboard(t *testing.T, chromium context.Context, width int64) {
	d := newFakeDoer()
	page := openTab(t, chromium, width, start(t, newFakeView(holding("north")), d).URL)
	page.do(chromedp.Focus(chromedp.CSS("[data-deed=strain] [data-opens]")), chromedp.KeyEvent("\r"))
	page.until("focus is on the confirmation", `document.activeElement.closest("form")?.dataset.event === "strain"`)
	page.do(chromedp.KeyEvent("\u001b"))
	page.until("Escape closes it", `document.querySelector("[data-deed=strain] form").hidden`)
	if !ask[bool](page, `document.activeElement === document.querySelector("[data-deed=strain] [data-opens]")`) {
		t.Error("focus is lost after Escape")
	}
	page.do(chromedp.KeyEvent("\r"))
	page.until("it opens again", `document.activeElement.type === "submit"`)
	page.do(chromedp.KeyEvent("\r"))
	if got := nextDeed(t, d); got != `event north "strain" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
}

func showsANewAlarm(t *testing.T, chromium context.Context, width int64) {
	v, d := newFakeView(holding("north")), newFakeDoer()
	page := openTab(t, chromium, width, start(t, v, d).URL)
	if ask[bool](page, `document.querySelector("[data-calm]").hidden`) {
		t.Error("an alarm is said to stand where none does")
	}
	s := boilingDry("north")
	s.At += time.Second
	<-v.subscribed
	v.set(s)
	page.until("the alarm is shown", `!document.querySelector("[data-alarm=boiling-dry]").hidden`)
	page.until("it is called out", `document.getElementById("called").textContent.includes("critical alarm")`)
	if title := ask[string](page, "document.title"); !strings.Contains(title, "boiling-dry") {
		t.Errorf("the title is %q", title)
	}
	first := `[...document.querySelectorAll(".alarm")].find((a) => !a.hidden).dataset.alarm`
	if got := ask[string](page, first); got != "boiling-dry" {
		t.Errorf("the first alarm shown is %s", got)
	}
	page.do(chromedp.Click(chromedp.CSS("[data-alarm=boiling-dry] [data-command=acknowledge]")))
	if got := nextDeed(t, d); got != `alarm north acknowledge boiling-dry 0s "" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.do(
		chromedp.Click(chromedp.CSS("[data-alarm=dish-bare] [data-opens]")),
		chromedp.SendKeys(chromedp.CSS("[data-alarm=dish-bare] [name=reason]"), "water comes"),
		chromedp.Click(chromedp.CSS("[data-alarm=dish-bare] [type=submit]:not([value])")),
	)
	if got := nextDeed(t, d); got != `alarm north shelve dish-bare 10m0s "water comes" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.mustBeClean()
}

// putsAside takes an alarm out of service and brings it back.
func putsAside(t *testing.T, chromium context.Context, width int64) {
	v, d := newFakeView(boilingDry("north")), newFakeDoer()
	page := openTab(t, chromium, width, start(t, v, d).URL)
	page.do(
		chromedp.Click(chromedp.CSS("[data-alarm=dish-bare] [data-opens]")),
		chromedp.SendKeys(chromedp.CSS("[data-alarm=dish-bare] [name=reason]"), "probe is in the sink"),
		chromedp.Click(chromedp.CSS("[data-alarm=dish-bare] [value=out-of-service]")),
	)
	if got := nextDeed(t, d); got != `alarm north out-of-service dish-bare 0s "probe is in the sink" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
	<-v.subscribed
	s := boilingDry("north")
	s.Alarms[rules.DishBare].State = alarm.OutOfService
	v.set(s)
	const back = "[data-shelved=dish-bare] [data-command=return-to-service]"
	page.until("it is said to be out of service", `document.querySelector("[data-shelved=dish-bare]").textContent.includes("it calls nobody")`)
	page.do(chromedp.Click(chromedp.CSS(back)))
	if got := nextDeed(t, d); got != `alarm north return-to-service dish-bare 0s "" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.mustBeClean()
}

func takesAnEntryBack(t *testing.T, chromium context.Context, width int64) {
	d := newFakeDoer()
	page := openTab(t, chromium, width, start(t, newFakeView(holding("north")), d).URL)
	page.do(chromedp.SendKeys(chromedp.CSS("#who"), "AB"))
	page.do(
		chromedp.Click(chromedp.CSS("[data-entry='412'] [data-opens]")),
		chromedp.SendKeys(chromedp.CSS("[data-entry='412'] [name=reason]"), "pressed by mistake"),
		chromedp.Click(chromedp.CSS("[data-entry='412'] [type=submit]")),
	)
	if got := nextDeed(t, d); got != `void north 412 "pressed by mistake" by AB` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.mustBeClean()
}

// saysWhenNoDataComes moves the page's clock instead of waiting.
func saysWhenNoDataComes(t *testing.T, chromium context.Context, width int64) {
	v := newFakeView(holding("north"))
	server := start(t, v, newFakeDoer())
	page := openTab(t, chromium, width, server.URL)
	const note = `document.querySelector("[data-stale]")`
	if !ask[bool](page, note+".hidden") {
		t.Error("a fresh page says that data is old")
	}
	page.mustBeClean()
	server.CloseClientConnections()
	server.Close()
	ask[bool](page, `{ const now = Date.now; window.ahead = 7000; Date.now = () => now() + window.ahead; true }`)
	page.until("it says that no data comes", note+`.textContent.startsWith("No new data for ") && !`+note+`.hidden && !`+note+`.classList.contains("lost")`)
	ask[bool](page, `window.ahead = 25000; true`)
	page.until("it says so loudly", note+`.classList.contains("lost") && /^No data for \d+ s\. Look at the bath\./.test(`+note+`.textContent)`)
	page.until("it is called out", `document.getElementById("called").textContent.includes("Look at the bath")`)
	if faded := ask[string](page, `getComputedStyle(document.querySelector(".temps")).opacity`); faded == "1" {
		t.Error("old values look like new ones")
	}
}

func everySceneFits(t *testing.T, chromium context.Context, width int64) {
	v := newFakeView(base("north"))
	server := start(t, v, newFakeDoer())
	for _, s := range [][]string{{"idle"}, {"heating"}, {"dry"}, {"silent"}, {"poured"}, {"idle", "dry", "poured"}} {
		v.set()
		v.mu.Lock()
		for _, name := range s {
			v.baths = append(v.baths, scene(name))
		}
		v.mu.Unlock()
		openTab(t, chromium, width, server.URL).mustBeClean()
	}
}

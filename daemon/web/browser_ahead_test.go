package web

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

func asksAboutWater(t *testing.T, chromium context.Context, width int64) {
	v, d := newFakeView(holding("north")), newFakeDoer()
	page := openTab(t, chromium, width, start(t, v, d).URL)
	const card = `[data-asked] `
	if !ask[bool](page, `document.querySelector("[data-asked]").hidden`) {
		t.Error("the page asks though nothing was seen")
	}
	<-v.subscribed
	s := poured("north")
	s.At += time.Second
	v.set(s)
	page.until("it asks", `!document.querySelector("[data-asked]").hidden && document.querySelector("[data-asked]").textContent.includes("400 ml")`)
	page.do(chromedp.SendKeys(chromedp.CSS(card+"[name=number]"), "350"))
	ask[bool](page, `document.querySelector("[data-asked] [name=unit]").value = "ml"; true`)
	page.do(chromedp.Click(chromedp.CSS(card + "[type=submit]")))
	if got := nextDeed(t, d); got != `event north "top-up 350 ml" by ` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.until("it is told", `document.querySelector("[data-asked] [data-answer]").textContent.includes("recorded")`)
	page.do(chromedp.Click(chromedp.CSS(card + "[data-later]")))
	s.At += time.Second
	s.Celsius[0] = 90
	v.set(s)
	page.until("a newer state came", `document.querySelector("[data-word=oil]").textContent === "90.0\u00a0°C"`)
	if !ask[bool](page, `document.querySelector("[data-asked]").hidden`) {
		t.Error("it asks again after it was put off")
	}
	page.mustBeClean()
}

// In Tokyo, nine hours ahead of UTC all year, 10:51:40 UTC is 19:51 (IANA time
// zone database, Asia/Tokyo).
func tellsTheReadersTime(t *testing.T, chromium context.Context, width int64) {
	v := newFakeView(holding("north"))
	page := openTab(t, chromium, width, "about:blank")
	if _, err := chromedp.Call(page.ctx, emulation.SetTimezoneOverride, emulation.SetTimezoneOverrideParams{TimezoneID: "Asia/Tokyo"}); err != nil {
		t.Fatal(err)
	}
	page.do(chromedp.Navigate(start(t, v, newFakeDoer()).URL))
	const bare = `document.querySelector("[data-ahead=bare] [data-f=likely]").textContent`
	page.until("the time is that of Tokyo", `/^about (19:51|7:51\sPM)$/.test(`+bare+`)`)
	if log := ask[string](page, `document.querySelector(".log time").textContent`); log != "19:28" && !strings.HasPrefix(log, "7:28") {
		t.Errorf("the record reads %q, want 19:28", log)
	}
	<-v.subscribed
	s := holding("north")
	s.At, s.Wall = s.At+time.Minute, s.Wall.Add(time.Minute)
	v.set(s)
	page.until("the stream keeps it so", `/^about (19:52|7:52\sPM)$/.test(`+bare+`)`)
}

package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

func TestACutoutInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("the heat is given back at %d px", width), func(t *testing.T) { givesTheHeatBack(t, chromium, width) })
	}
}

// The heat comes back only once somebody says that they looked; an open page then
// says so by itself.
func givesTheHeatBack(t *testing.T, chromium context.Context, width int64) {
	c, v := newFakeCutouts(dryCut("north")), newFakeView(boilingDry("north"))
	server := httptest.NewServer(withCutouts(t, v, c))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	page := openTab(t, chromium, width, server.URL)
	const box = `document.querySelector("[data-cutout]")`
	if !ask[bool](page, box+`.textContent.includes("Heat cut by boiling-dry.")`) {
		t.Error("the page does not say that the heat is cut")
	}
	page.do(
		chromedp.SendKeys(chromedp.CSS("#who"), "AB"),
		chromedp.Click(chromedp.CSS("[data-heat-back] [data-opens]")), chromedp.WaitVisible(chromedp.CSS("form[data-heat]")),
		chromedp.Click(chromedp.CSS("form[data-heat] [type=submit]")),
	)
	if ask[bool](page, `document.querySelector("form[data-heat]").checkValidity()`) || len(c.asked) > 0 {
		t.Error("the heat may be given back without looking")
	}
	page.mustBeClean()
	page.do(chromedp.Click(chromedp.CSS("form[data-heat] [type=checkbox]")), chromedp.Click(chromedp.CSS("form[data-heat] [type=submit]")))
	select {
	case got := <-c.asked:
		if got != "north by AB" {
			t.Errorf("the cut-outs were asked for %s", got)
		}
	case <-time.After(15 * time.Second):
		t.Fatal("the cut-outs were asked for nothing")
	}
	page.until("it says what came of it", box+`.textContent.includes("the heat was given back to north")`)
	<-v.subscribed
	v.set(holding("north"))
	page.until("the line is new", box+`.dataset.stands === "allowed" && `+box+`.textContent.includes("Heat allowed.")`)
	if !ask[bool](page, box+`.querySelector("[data-heat-back]").hidden`) {
		t.Error("heat that is on can be given back")
	}
	page.mustBeClean()
}

package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// In a browser the form is sent and answered, at both widths and without any
// script, nothing sticks out and a finger hits every control.
func TestThePlanInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			v := newPlanningView(base("north"), base("south"))
			page := openStill(t, chromium, width, startPlanning(t, v)+"/plan")
			const oil = `.plan-form [name=oil_g]`
			page.do(
				chromedp.SendKeys(chromedp.CSS(oil), "512,5"),
				chromedp.SetValue(chromedp.CSS(`.plan-form [name=bath]`), "south"),
				chromedp.Click(chromedp.CSS(`.plan-form button`)),
				chromedp.WaitVisible(chromedp.CSS(`main[data-bath=south] .plan-checks`)),
			)
			if got := ask[string](page, `document.querySelectorAll(".plan-weigh .when")[1].textContent`); got != "513 g" && got != "512 g" {
				t.Errorf("the oil is %q", got)
			}
			if got := ask[string](page, `document.querySelector("`+oil+`").value`); got != "512,5" {
				t.Errorf("the form says %q", got)
			}
			page.do(chromedp.Click(chromedp.CSS(`.plan-checks li:first-child input`)))
			if !ask[bool](page, `document.querySelector(".plan-checks input").checked`) {
				t.Error("a check cannot be ticked off")
			}
			small := `[...document.querySelectorAll(".plan a, .plan button, .plan select, .plan-form input, .plan-checks label")].filter((e) => e.getBoundingClientRect().height < 44 && e.offsetParent).length`
			if n := ask[int](page, small); n > 0 {
				t.Errorf("%d things are too small for a finger (WCAG 2.2, 2.5.5: 44 px)", n)
			}
			page.mustBeClean()
		})
	}
}

func startPlanning(t *testing.T, v *planningView) string {
	t.Helper()
	server := httptest.NewServer(newHandler(t, v, newFakeDoer()))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	return server.URL
}

// openStill opens a page that loads no script.
func openStill(t *testing.T, browser context.Context, width int64, address string) *tab {
	t.Helper()
	ctx, end := chromedp.NewContext(browser)
	t.Cleanup(end)
	page := &tab{t: t, ctx: ctx, hosts: make(map[string]bool)}
	if err := chromedp.Listen(ctx, page.note); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	page.do(chromedp.EmulateViewport(width, 844), chromedp.Navigate(address))
	return page
}

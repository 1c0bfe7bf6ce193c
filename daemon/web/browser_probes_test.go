package web

import (
	"net/http/httptest"
	"os"
	"testing"

	"github.com/chromedp/chromedp"

	"bainward/dashboards"
)

// In a browser at the width of a phone a probe is led from ice to the result; the
// page follows by itself, nothing is taken from under somebody who writes, and a
// refusal is told.
func TestTheProbesInABrowser(t *testing.T) {
	chromium := browser(t)
	b := newBench()
	server := httptest.NewServer(newHandler(t, newFakeView(base("north")), b))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	page := openTab(t, chromium, 390, server.URL+"/probes")
	const probe = `[data-probe="` + benchProbe + `"] `
	asked := func(want string) {
		t.Helper()
		if got := nextDeed(t, b.fakeDoer); got != want {
			t.Errorf("the Doer was asked for %q, want %q", got, want)
		}
	}
	page.do(chromedp.Click(chromedp.CSS(probe + ".boils summary")))
	look(t, page, "boils")
	page.do(chromedp.SendKeys(chromedp.CSS("#who"), "Robin"), chromedp.Click(chromedp.CSS(probe+"[data-do=start]")))
	asked("start " + benchProbe + " by Robin")
	page.until("the ice is asked for", `document.querySelector("[data-say]")?.textContent === "Now the ice."`)
	b.stands(dashboards.CalibrationIce, func(c *dashboards.Calibration) {
		reads := 4.5
		c.Reads, c.N, c.Wait = &reads, 60, "the reading still falls, by 2.31 K a minute: wait"
	})
	page.until("the page follows by itself", `document.querySelector(".led-wait")?.textContent.includes("still falls")`)
	look(t, page, "ice")
	if !ask[bool](page, `document.querySelector(".boils").open`) {
		t.Error("what somebody opened is shut again")
	}
	b.stands(dashboards.CalibrationMove, nil)
	page.do(chromedp.WaitVisible(chromedp.CSS("[name=depth]")), chromedp.SendKeys(chromedp.CSS("[name=depth]"), "5"))
	page.until("the page has had time to follow", `new Promise((done) => setTimeout(() => done(true), 1300))`)
	if got := ask[string](page, `document.querySelector("[name=depth]").value`); got != "5" {
		t.Errorf("what was written is now %q", got)
	}
	page.do(chromedp.Click(chromedp.CSS("form[data-do=next] button")))
	asked("next " + benchProbe + " 0.050 m by Robin")
	b.stands(dashboards.CalibrationResult, result)
	page.do(chromedp.WaitVisible(chromedp.CSS("[data-do=keep]")))
	look(t, page, "result")
	page.mustBeClean()
	page.do(chromedp.Click(chromedp.CSS("[data-do=keep]")))
	asked("keep " + benchProbe + " by Robin")
	page.do(chromedp.WaitVisible(chromedp.CSS(probe + "[data-do=start]")))
	b.refuse = errBroken
	page.do(chromedp.Click(chromedp.CSS(probe + "[data-do=start]")))
	asked("start " + benchProbe + " by Robin")
	page.until("the refusal is told", `document.querySelector("[data-answer]").textContent.includes("Not done: read record: disk gone")`)
}

// look keeps a picture of the page where BAINWARD_PICTURES names a folder.
func look(t *testing.T, page *tab, name string) {
	t.Helper()
	dir := os.Getenv("BAINWARD_PICTURES")
	if dir == "" {
		return
	}
	picture, err := chromedp.Run(page.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(dir+"/probes-"+name+".png", picture, 0o644); err != nil {
		t.Fatal(err)
	}
}

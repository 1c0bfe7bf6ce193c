package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
)

func startPhones(t *testing.T, p *fakePhones) string {
	t.Helper()
	server := httptest.NewServer(withPhones(t, p, nil))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	return server.URL
}

func TestCallsToPeopleInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			t.Run("a link is answered with one tap", func(t *testing.T) { answersALink(t, chromium, width) })
			t.Run("the alarms are tested", func(t *testing.T) { testsTheAlarms(t, chromium, width) })
		})
	}
}

func answersALink(t *testing.T, chromium context.Context, width int64) {
	p := newFakePhones()
	page := openTab(t, chromium, width, "about:blank")
	address := startPhones(t, p) + "/a/" + goodToken
	page.do(chromedp.Navigate(address), chromedp.WaitVisible(chromedp.CSS("form button")))
	if len(p.asked) > 0 {
		t.Fatalf("opening the link did: %s", <-p.asked)
	}
	page.mustBeClean()
	page.do(chromedp.Click(chromedp.CSS("form button")))
	if got := nextCall(t, p); got != `answer kiln-goose-41 by ""` {
		t.Errorf("the Phones were asked to %s", got)
	}
	page.do(chromedp.WaitVisible(chromedp.CSS("a.to-bath"))) // of the page that answers the form
	page.until("it says so", `document.body.textContent.includes("You see to dish-bare.")`)
	page.mustBeClean()
	page.do(chromedp.Navigate(address))
	page.until("a used link says so", `document.body.textContent.includes("This link is over")`)
}

func testsTheAlarms(t *testing.T, chromium context.Context, width int64) {
	p := newFakePhones()
	p.ready, p.why = false, "no alarm channel has been proven in the last 7 days"
	page := openTab(t, chromium, width, startPhones(t, p))
	const part = `document.querySelector("[data-phones]")`
	if said := ask[string](page, part+".textContent"); said == "" || ask[bool](page, part+".textContent.includes(\"Ready:\")") {
		t.Errorf("before any proof it says %q", said)
	}
	// The bath is lit, so the words stand in one line until somebody opens them.
	page.do(chromedp.Click(chromedp.CSS("[data-ready] summary")), chromedp.Click(chromedp.CSS("[data-test-alarms]")))
	if got := nextCall(t, p); got != "test" {
		t.Errorf("the Phones were asked to %s", got)
	}
	page.until("it is ready", part+`.textContent.includes("Ready: push to Robin was proven just now.")`)
	page.until("it says what came of it", part+`.textContent.includes("some messages did not go out")`)
	page.mustBeClean()
}

package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"

	"bainward/rules"
	"bainward/rules/batch/guide"
)

// In a browser a step is sent, who sends it is asked once, and a form in which
// somebody writes outlasts a batch that moves on.
func TestTheGuideInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			t.Run("who it is is asked once", func(t *testing.T) { asksWhoOnce(t, chromium, width) })
			t.Run("what is being written stays", func(t *testing.T) { keepsWhatIsWritten(t, chromium, width) })
			t.Run("a refusal is told and nothing is lost", func(t *testing.T) { tellsARefusal(t, chromium, width) })
		})
	}
}

const guideNow = `[data-step=checklist].guide-now `

func asksWhoOnce(t *testing.T, chromium context.Context, width int64) {
	s := base("north")
	l := newLeader(s)
	page := openTab(t, chromium, width, startLeading(t, newFakeView(s), l))
	page.do(chromedp.Click(chromedp.CSS(".guide-now .guide-go")), chromedp.WaitVisible(chromedp.CSS(guideNow)))
	page.do(
		chromedp.Click(chromedp.CSS(guideNow+`[value=gloves]`)),
		chromedp.SendKeys(chromedp.CSS(guideNow+`[data-guide-who] input`), "Robin"),
		chromedp.Click(chromedp.CSS(guideNow+`.guide-send`)),
	)
	if got := nextDeed(t, l.fakeDoer); got != "checklist north gloves by Robin" {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.until("the page knows who it is", `document.getElementById("who").value === "Robin" && document.querySelector("[data-guide-who]").hidden`)
	page.mustBeClean()
}

func keepsWhatIsWritten(t *testing.T, chromium context.Context, width int64) {
	s := base("north")
	s.Batch, s.Phase = "2026-03-01-north-1", rules.Holding
	s.Next = []rules.EventKind{rules.TopUp, rules.Strain}
	v, l := newFakeView(s), newLeader(s)
	page := openTab(t, chromium, width, startLeading(t, v, l))
	const number = `[data-step=hold-1].guide-now [data-field=quantity]`
	page.do(chromedp.WaitVisible(chromedp.CSS(number)), chromedp.SendKeys(chromedp.CSS(number), "0,4"))
	<-v.subscribed
	s.Phase, s.Hold, s.Sentence = rules.Holding, s.HoldAsked, "The hold is done. Heat off, then strain when you are ready."
	l.stands(func(in *guide.In) { in.Now = s })
	v.set(s)
	page.until("it is said that the batch moved on", `document.querySelector("[data-guide-show]") !== null`)
	if got := ask[string](page, `document.querySelector("`+number+`").value`); got != "0,4" {
		t.Errorf("what was written is now %q", got)
	}
	page.do(chromedp.Click(chromedp.CSS("[data-guide-show]")))
	page.until("the next step is shown", `document.querySelector("[data-step=strain-1].guide-now") !== null`)
	page.mustBeClean()
}

func tellsARefusal(t *testing.T, chromium context.Context, width int64) {
	s := base("north")
	s.Batch = "2026-03-01-north-1"
	l := newLeader(s)
	l.in.Checks = &guide.Checks{}
	l.refuse = errBroken
	page := openTab(t, chromium, width, startLeading(t, newFakeView(s), l))
	const water = `[data-step=fill].guide-now `
	page.do(
		chromedp.SendKeys(chromedp.CSS("#who"), "AB"),
		chromedp.SendKeys(chromedp.CSS(water+`[data-field=quantity]`), "1800"),
		chromedp.Click(chromedp.CSS(water+`.guide-send`)),
	)
	if got := nextDeed(t, l.fakeDoer); got != `event north "fill 1800 g" by AB` {
		t.Errorf("the Doer was asked for %s", got)
	}
	page.until("the refusal is told", `document.querySelector(".guide-now [data-answer]").textContent.includes("Not recorded: read record: disk gone")`)
	if got := ask[string](page, `document.querySelector("`+water+`[data-field=quantity]").value`); got != "1800" {
		t.Errorf("what was written is now %q", got)
	}
}

func startLeading(t *testing.T, v *fakeView, l *leader) string {
	t.Helper()
	server := httptest.NewServer(newHandler(t, v, l))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	return server.URL
}

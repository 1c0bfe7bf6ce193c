package web

import (
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
)

// In a browser, without any script, a wrong recipe comes back with what is wrong
// beside its field; mended, it is kept and its plan is shown, from which it is chosen.
func TestARecipeInABrowser(t *testing.T) {
	chromium := browser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			v, c := newPlanningView(base("north")), newCook()
			v.site.Recipes = append(v.site.Recipes, "ribwort-strong")
			server := httptest.NewServer(newHandler(t, v, c))
			t.Cleanup(func() {
				server.CloseClientConnections()
				server.Close()
			})
			page := openStill(t, chromium, width, server.URL+"/plan?bath=north&herb_g=300")
			const field = `.recipe-form [name=%s]`
			in := func(name string) chromedp.CSS { return chromedp.CSS(fmt.Sprintf(field, name)) }
			page.do(chromedp.Click(chromedp.CSS(`.plan-recipe a[href*="copy="]`)), chromedp.WaitVisible(in("name")))
			if got := ask[string](page, `document.querySelector("[name=herb_g]").value`); got != "300" {
				t.Errorf("the form offers %q of herb, the plan was for 300 g", got)
			}
			page.do(
				chromedp.SendKeys(in("name"), "ribwort strong"),
				chromedp.SendKeys(in("who"), "Sorrel"),
				chromedp.Click(chromedp.CSS(`.recipe-form button`)),
				chromedp.WaitVisible(chromedp.CSS(`[data-field=name].wrong .recipe-problem`)),
			)
			if got := ask[string](page, `document.querySelector("[name=herb_g]").value + " " + document.querySelector("[name=who]").value`); got != "300 Sorrel" {
				t.Errorf("what was typed is now %q", got)
			}
			small := `[...document.querySelectorAll(".recipe a, .recipe button, .recipe select, .recipe input:not([type=hidden]), .recipe summary")].filter((e) => e.getBoundingClientRect().height < 44 && e.offsetParent).length`
			if n := ask[int](page, small); n > 0 {
				t.Errorf("%d things are too small for a finger (WCAG 2.2, 2.5.5: 44 px)", n)
			}
			if wide := ask[int](page, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the form sticks out by %d px", wide)
			}
			page.do(
				chromedp.SetValue(in("name"), "ribwort-strong"),
				chromedp.Click(chromedp.CSS(`.recipe-form button`)),
				chromedp.WaitVisible(chromedp.CSS(`.plan-recipe[data-recipe=ribwort-strong]`)),
			)
			if got := nextDeed(t, c.fakeDoer); got != "make ribwort-strong in the place of 0 by Sorrel" {
				t.Errorf("the Doer was asked for %s", got)
			}
			page.do(
				chromedp.SendKeys(chromedp.CSS(`.plan-recipe [name=who]`), "Sorrel"),
				chromedp.Click(chromedp.CSS(`.plan-recipe button`)),
				chromedp.WaitVisible(chromedp.CSS(`main[data-bath=north], [data-bath=north]`)),
			)
			if got := nextDeed(t, c.fakeDoer); got != "recipe north ribwort-strong by Sorrel" {
				t.Errorf("the Doer was asked for %s", got)
			}
		})
	}
}

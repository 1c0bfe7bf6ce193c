package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// On a phone a maker changes a copy of the recipe of a plan, sees what is wrong beside
// its field, mends it, keeps it, chooses it for the bath, and is led by it. The
// record says who did it.
func TestARecipeIsMadeOnAPhone(t *testing.T) {
	k := startWholeKitchen(t)
	p := openPhone(t, k)
	p.do(chromedp.Navigate(k.address+"/plan?bath=north&herb_g=180"),
		chromedp.Click(chromedp.CSS(`.plan-recipe a[href*="copy="]`)), chromedp.WaitVisible(chromedp.CSS(`.recipe-form [name=name]`)))
	p.shot("recipe-form")
	p.do(
		chromedp.SendKeys(chromedp.CSS(`.recipe-form [name=name]`), "ribwort-mild"),
		chromedp.SetValue(chromedp.CSS(`.recipe-form [name=hold_min]`), "2000"),
		chromedp.SendKeys(chromedp.CSS(`.recipe-form [name=who]`), "Sorrel"),
		chromedp.Click(chromedp.CSS(`.recipe-form button`)),
		chromedp.WaitVisible(chromedp.CSS(`[data-field=hold_min].wrong .recipe-problem`)),
	)
	p.shot("recipe-wrong")
	if got := ask[string](p, `document.querySelector("[data-field=hold_min] .recipe-problem").textContent`); got != "“Hold” 2000 min must be from 1 min to 1440 min." {
		t.Errorf("beside the hold stands %q", got)
	}
	if wide := ask[int](p, "document.documentElement.scrollWidth"); wide > 390 {
		t.Errorf("the form is %d px wide in a window of 390 px", wide)
	}
	p.do(
		chromedp.SetValue(chromedp.CSS(`.recipe-form [name=hold_min]`), "45"),
		chromedp.Click(chromedp.CSS(`.recipe-form button`)),
		chromedp.WaitVisible(chromedp.CSS(`.plan-recipe[data-recipe=ribwort-mild] [name=who]`)),
	)
	p.shot("recipe-plan")
	if got := ask[string](p, `document.querySelector(".plan-weigh .when").textContent`); got != "180 g fresh" {
		t.Errorf("the plan weighs in %q", got)
	}
	p.do(
		chromedp.SendKeys(chromedp.CSS(`.plan-recipe [name=who]`), "Sorrel"),
		chromedp.Click(chromedp.CSS(`.plan-recipe button`)),
		chromedp.WaitVisible(chromedp.CSS(now)),
	)
	p.until("the guide leads by it", nowText+`.includes("ribwort-mild") && `+nowText+`.includes("180 g")`)
	p.shot("recipe-guide")
	var all struct {
		Recipes []struct {
			Name, Who string
			HoldMin   int `json:"hold_min"`
		}
	}
	if err := json.Unmarshal(k.get("/api/recipes"), &all); err != nil || len(all.Recipes) != 2 || all.Recipes[1].Name != "ribwort-mild" || all.Recipes[1].Who != "Sorrel" || all.Recipes[1].HoldMin != 45 {
		t.Errorf("%v: %+v", err, all)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range p.complaints {
		if !strings.Contains(c, "status of 422") { // the form that was wrong
			t.Errorf("the browser complains: %s", c)
		}
	}
}

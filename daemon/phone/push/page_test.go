package push

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// The two scripts do in a real Chromium what a person with a phone needs. Only
// the browser's own push service is stood in for (testdata/browser.js).
func TestThePhoneInABrowser(t *testing.T) {
	b := chromium(t)
	for name, test := range map[string]func(*testing.T, context.Context){
		"an alarm is shown as it was sent":          showsAnAlarm,
		"what is quiet wakes nobody":                staysQuiet,
		"a newer message takes the place":           replacesTheOlder,
		"an unread message still calls":             showsWhatItCannotRead,
		"an old message says when it was sent":      datesAnOldMessage,
		"a clock that is wrong hides no alarm":      distrustsAWrongClock,
		"a picture follows, and none is waited for": followsWithAPicture,
		"a tap opens the page of the link":          opensTheLink,
		"a moved subscription keeps its owner":      followsAMove,
		"signing up and off":                        signsUpAndOff,
		"a new key renews the subscription":         renewsForANewKey,
		"a lost list is filled again":               fillsALostList,
		"a refusal is told in words":                tellsARefusal,
		"a phone that blocks is told how":           tellsOfBlocking,
		"where it cannot work":                      saysWhereItCannotWork,
		"no page is kept":                           keepsNoPage,
	} {
		t.Run(name, func(t *testing.T) { test(t, b) })
	}
}

func signsUpAndOff(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	if got := h.office.Load().Devices(""); len(got) != 1 || got[0].Contact != "Robin" || got[0].Name != "kitchen phone" || got[0].ID != idOf(far.endpoint) {
		t.Fatalf("the list is %+v", got)
	}
	p.do(chromedp.Reload())
	p.says("This phone is called for Robin.")
	if !ask[bool](p, `document.querySelector("[data-push-on]").hidden && document.querySelector("[data-push-contact]").value === "Robin"`) {
		t.Error("a reloaded page offers to sign up again")
	}
	p.press("[data-push-off]")
	p.says("This phone is not called.")
	if got := h.office.Load().Devices(""); len(got) != 0 || ask[bool](p, `localStorage.getItem("subscription") !== null`) {
		t.Errorf("after signing off: %+v", got)
	}
	p.do(chromedp.Reload())
	p.says("This phone is not called.")
	p.press("[data-push-on]")
	p.says("Choose whose phone this is")
	if len(h.phones) > 0 || len(h.office.Load().Devices("")) > 0 {
		t.Error("a phone was signed up for nobody")
	}
	p.mustBeClean()
}

// renewsForANewKey changes the daemon's key, as a new disk would.
func renewsForANewKey(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, old := signedUp(t, b, h)
	h.office.Store(openOffice(t))
	p.do(chromedp.Reload())
	p.says("This phone is called for Robin.")
	far := <-h.phones
	got := h.office.Load().Devices("Robin")
	if far.endpoint == old.endpoint || len(got) != 1 || got[0].ID != idOf(far.endpoint) {
		t.Fatalf("the list is %+v", got)
	}
	p.call(far, raised())
	p.shows("n7")
	p.mustBeClean()
}

func fillsALostList(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	if err := h.office.Load().SignOff(far.endpoint); err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.Reload())
	p.says("This phone is called for Robin.")
	if got := h.office.Load().Devices("Robin"); len(got) != 1 || got[0].ID != idOf(far.endpoint) || got[0].Name != "kitchen phone" || len(h.phones) > 0 {
		t.Errorf("the list is %+v", got)
	}
	p.mustBeClean()
}

func tellsARefusal(t *testing.T, b context.Context) {
	h := newHouse(t)
	for range maxPerContact {
		if err := h.office.Load().SignUp("Robin", "", newPhone(t, h.service.URL+"/w/"+t.Name()+strings.Repeat("x", len(h.office.Load().list()))).subscription()); err != nil {
			t.Fatal(err)
		}
	}
	p := openTab(t, b, h, "granted", "")
	p.do(chromedp.SetValue(chromedp.CSS("[data-push-contact]"), "Robin"))
	p.press("[data-push-on]")
	p.says("Not signed up: sign up phone: Robin has 20 phones already: sign one off first. Press again.")
	h.Close()
	p.press("[data-push-on]")
	p.says("Not signed up: no answer from the daemon. Press again.")
}

func tellsOfBlocking(t *testing.T, b context.Context) {
	h := newHouse(t)
	p := openTab(t, b, h, "denied", "")
	p.says("This phone is not called.")
	p.do(chromedp.SetValue(chromedp.CSS("[data-push-contact]"), "Robin"))
	p.press("[data-push-on]")
	p.says("This phone blocks notifications from this page. Allow them in the phone's settings")
	if len(h.phones) > 0 || len(h.office.Load().Devices("")) > 0 {
		t.Error("a phone that shows nothing was signed up")
	}
	p.mustBeClean()
}

func saysWhereItCannotWork(t *testing.T, b context.Context) {
	h := newHouse(t)
	const hidden = `document.querySelector("[data-push]").hidden`
	const buttons = `[...document.querySelectorAll("button, label")].every((e) => e.hidden)`
	for _, c := range []struct{ query, says string }{{"?phone=iphone", "add this page to the home screen first"}, {"?phone=old", ""}} {
		p := openTab(t, b, h, "granted", c.query)
		p.until("the script has run", `document.readyState === "complete"`)
		if c.says == "" {
			if !ask[bool](p, hidden) {
				t.Errorf("%s: it is offered where it cannot work", c.query)
			}
			continue
		}
		p.says(c.says)
		if ask[bool](p, hidden) || !ask[bool](p, buttons) {
			t.Errorf("%s: the words are hidden, or a button is not", c.query)
		}
		p.mustBeClean()
	}
	h.URL = strings.Replace(h.URL, "127.0.0.1", "bath.test", 1) // which the browser finds here
	p := openTab(t, b, h, "", "")
	p.says("whose address begins with https")
	if ask[bool](p, hidden) || !ask[bool](p, buttons) {
		t.Error("over http: the words are hidden, or a button is not")
	}
}

// keepsNoPage holds the worker to its promise: each visit asks the daemon.
func keepsNoPage(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, _ := signedUp(t, b, h)
	for range 2 {
		before := h.loads.Load()
		p.do(chromedp.Reload())
		p.says("This phone is called for Robin.")
		if !ask[bool](p, `navigator.serviceWorker.controller !== null`) {
			t.Fatal("the worker is not in charge of the page")
		}
		if h.loads.Load() != before+1 {
			t.Error("the page did not come from the daemon")
		}
	}
	if kept := ask[[]string](p, `caches.keys()`); len(kept) > 0 {
		t.Errorf("the worker keeps %v", kept)
	}
	p.mustBeClean()
}

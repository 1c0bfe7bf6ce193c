package push

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/serviceworker"
	"github.com/chromedp/chromedp"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// shown is a notification as the browser shows it.
type shown struct {
	Title, Body, Tag, Image string
	Silent, Stays, Again    bool
	Vibrate                 []int
	Actions                 []string
	ID, Link                string
	Timestamp               int64
}

const notifications = `navigator.serviceWorker.ready.then((r) => r.getNotifications()).then((all) => all.map((n) => ({
	title: n.title, body: n.body, tag: n.tag, image: n.image, silent: n.silent, stays: n.requireInteraction, again: n.renotify,
	vibrate: n.vibrate ?? [], actions: n.actions.map((a) => a.action + " " + a.title), id: n.data.id, link: n.data.link, timestamp: n.timestamp,
})))`

// signedUp opens the page and signs Robin's phone up by pressing the button.
func signedUp(t *testing.T, browser context.Context, h *house) (*tab, phone) {
	t.Helper()
	p := openTab(t, browser, h, "granted", "")
	p.says("This phone is not called.")
	p.do(
		chromedp.SetValue(chromedp.CSS("[data-push-contact]"), "Robin"),
		chromedp.SendKeys(chromedp.CSS("[data-push-device]"), "kitchen phone"),
	)
	p.press("[data-push-on]")
	p.says("This phone is called for Robin.")
	return p, <-h.phones
}

// call sends n from the office by way of the push service, and hands to the
// browser what the phone decrypts.
func (p *tab) call(far phone, n notice.Notice) {
	p.t.Helper()
	if answer, err := p.house.office.Load().Channel("page", "").Send(p.t.Context(), n); err != nil {
		p.t.Fatalf("%q, %v", answer, err)
	}
	plain, _, err := decrypt((<-p.house.service.got).body, far.own, far.auth)
	if err != nil {
		p.t.Fatal(err)
	}
	p.deliver(string(plain))
}

// deliver has the browser's push service hand a message to the worker.
func (p *tab) deliver(data string) {
	p.t.Helper()
	id := <-p.registered
	p.registered <- id
	if _, err := chromedp.Call(p.ctx, serviceworker.DeliverPushMessage, serviceworker.DeliverPushMessageParams{
		Origin: p.house.URL, RegistrationID: id, Data: data,
	}); err != nil {
		p.t.Fatal(err)
	}
}

// shows waits until the worker has put up the notice with this ID, which must be
// the only one.
func (p *tab) shows(id string) shown {
	p.t.Helper()
	if got := p.hears(); got != "shown "+id {
		p.t.Fatalf("the worker did %q, want notice %q shown", got, id)
	}
	all := ask[[]shown](p, notifications)
	if len(all) != 1 || all[0].ID != id {
		p.t.Fatalf("notice %q is shown as %+v", id, all)
	}
	return all[0]
}

func quoted(s string) string {
	text, _ := json.Marshal(s) // a string cannot fail
	return string(text)
}

func showsAnAlarm(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	n := raised()
	n.Wall = time.Now().Truncate(time.Second)
	p.call(far, n)
	got := p.shows("n7")
	want := shown{
		Title: n.Title, Body: n.Text, Tag: "call-12", Stays: true, Again: true, Vibrate: []int{600, 200, 600, 200, 600, 200, 600},
		Actions: []string{"answer Answer"}, ID: "n7", Link: "/answer/12", Timestamp: n.Wall.UnixMilli(),
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("shown %+v, want %+v", got, want)
	}
	p.mustBeClean()
}

func staysQuiet(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	n := raised()
	n.Quiet, n.Wall = true, time.Now()
	p.call(far, n)
	if got := p.shows("n7"); !got.Silent || got.Stays || got.Again || len(got.Vibrate) > 0 {
		t.Errorf("a quiet notice is %+v", got)
	}
	p.mustBeClean()
}

func replacesTheOlder(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	p.call(far, raised())
	p.shows("n7")
	over := raised()
	over.ID, over.Kind, over.Title, over.Wall = "n8", notice.Over, "north: Sorrel answers", time.Now()
	p.call(far, over)
	if got := p.shows("n8"); got.Title != over.Title || got.Stays || len(got.Actions) > 0 {
		t.Errorf("the end of a call is %+v", got)
	}
	proof := notice.Notice{ID: "n9", Contact: "Robin", Kind: notice.Proof, Priority: alarm.Low, Title: "A proof", Text: "This phone is called.", Wall: time.Now()}
	p.call(far, proof)
	p.hears()
	if all := ask[[]shown](p, notifications); len(all) != 2 {
		t.Errorf("beside the call, a proof is shown as %+v", all)
	}
	p.mustBeClean()
}

func showsWhatItCannotRead(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, _ := signedUp(t, b, h)
	p.deliver("not JSON")
	got := p.shows("")
	if got.Title != "bainward calls" || !strings.Contains(got.Body, "look at the bath") || !got.Stays || got.Silent {
		t.Errorf("shown %+v", got)
	}
	p.mustBeClean()
}

func datesAnOldMessage(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	n := raised()
	n.Wall = time.Now().Add(-50 * time.Minute)
	p.call(far, n)
	if got := p.shows("n7"); !strings.HasPrefix(got.Body, "From ") || !strings.HasSuffix(got.Body, ": "+n.Text) {
		t.Errorf("an old message reads %q", got.Body)
	}
	p.mustBeClean()
}

// distrustsAWrongClock sends as a Pi does that has no clock chip and no network
// yet. Chromium 156 drops what bears a date of months ago, without a word.
func distrustsAWrongClock(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	for i, wall := range []time.Time{time.Unix(0, 0), time.Now().AddDate(0, -3, 0), time.Now().AddDate(1, 0, 0), {}} {
		n := raised()
		n.ID, n.Wall = strconv.Itoa(i), wall
		p.call(far, n)
		got := p.shows(n.ID)
		if off := time.Since(time.UnixMilli(got.Timestamp)); got.Body != n.Text || off < 0 || off > time.Minute {
			t.Errorf("%s: %+v, off by %s", wall, got, off)
		}
	}
	p.mustBeClean()
}

func followsWithAPicture(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	n := raised()
	n.Wall = time.Now()
	n.Picture = func(context.Context) ([]byte, error) { return nil, nil }
	p.call(far, n) // its picture hangs
	if got := p.shows("n7"); got.Image != "" || got.Silent {
		t.Errorf("without its picture: %+v", got)
	}
	h.picture <- onePixel // to the worker, which tries whether it is in reach
	h.picture <- onePixel // to the notification
	if got := p.shows("n7"); got.Image != h.URL+"/picture.png" || got.Body != n.Text || !got.Silent || !got.Stays || got.Again {
		t.Errorf("with its picture: %+v", got)
	}
	n.ID = "n8"
	p.call(far, n)
	h.picture <- func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNotFound) }
	if got := p.shows("n8"); got.Image != "" {
		t.Errorf("with a picture that is not there: %+v", got)
	}
}

// click stands in for a finger on the notification of the call.
func (p *tab) click(action string) string {
	p.t.Helper()
	ask[bool](p, `navigator.serviceWorker.ready.then((r) => r.active.postMessage({ click: "call-12", action: `+quoted(action)+` })).then(() => true)`)
	return p.hears()
}

func (p *tab) hears() string {
	p.t.Helper()
	select {
	case deed := <-p.house.heard:
		return deed
	case <-time.After(15 * time.Second):
		p.t.Fatal("the worker did nothing")
		return ""
	}
}

func opensTheLink(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	for _, c := range []struct{ link, action, want string }{
		{"/answer/12", "", "opened URL/answer/12"},
		{"/answer/12", "answer", "opened URL/answer/12"},
		{"https://bath.example/answer/12", "answer", "opened https://bath.example/answer/12"},
		{"/", "", "focused URL/"},
		{"", "", "focused URL/"},
	} {
		n := raised()
		n.Link = c.link
		p.call(far, n)
		p.shows("n7")
		if got := p.click(c.action); got != strings.Replace(c.want, "URL", h.URL, 1) {
			t.Errorf("link %q: %s, want %s", c.link, got, c.want)
		}
		if left := ask[[]shown](p, notifications); len(left) > 0 {
			t.Errorf("link %q: the notification stays: %+v", c.link, left)
		}
	}
	p.mustBeClean()
}

func followsAMove(t *testing.T, b context.Context) {
	h := newHouse(t)
	p, far := signedUp(t, b, h)
	moved := newPhone(t, h.service.URL+"/w/moved")
	ask[bool](p, `navigator.serviceWorker.ready.then((r) => r.active.postMessage({ moved: `+quoted(far.endpoint)+`, to: `+string(moved.subscription())+` })).then(() => true)`)
	h.waitFor("PUT")
	all := h.office.Load().Devices("")
	if len(all) != 1 || all[0].ID != idOf(moved.endpoint) || all[0].Name != "kitchen phone" || all[0].Contact != "Robin" {
		t.Errorf("the list is %+v", all)
	}
	p.mustBeClean()
}

package app

import (
	"crypto/ecdh"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"periph.io/x/conn/v3/gpio/gpiotest"

	"bainward/daemon/cutout"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/phone/notice"
	"bainward/daemon/phone/push"
	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// signedIn is a whole kitchen in which Robin, the keeper, is signed in: with a door, a
// barometer, a cut-out, a phone to call and push messages.
type signedIn struct {
	*kitchen
	robin  *mailbox
	pages  http.Handler
	cookie string
}

func newSignedIn(t *testing.T) *signedIn {
	s := &signedIn{robin: newMailbox("robin-phone")}
	links, err := link.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	office, err := push.Open(t.TempDir(), "mailto:keeper@alder-yard.example")
	if err != nil {
		t.Fatal(err)
	}
	r := &relay{Pin: gpiotest.Pin{N: "GPIO27", Num: 27}, moved: make(chan struct{}, 1)}
	s.kitchen = newKitchenWith(t, func(o *Options) {
		o.People = robinsDoor
		o.Cuts = []Cut{{Bath: "north", Output: cutout.Level(r)}}
		o.Phones = func(string) (*Phones, error) {
			return &Phones{
				Plan:     calls.Plan{Contacts: []calls.Contact{{Name: "Sorrel", Channels: []string{"robin-phone", "sorrels"}, Wait: 5 * time.Minute}}},
				Channels: []notice.Channel{s.robin}, Kinds: map[string]string{"robin-phone": "mailbox", "sorrels": "push"},
				Links: links, Office: office, Address: "http://alder.example",
			}, nil
		}
	})
	s.probes.air = sensors.Pressure{Pascal: 99500}
	s.poll(time.Second)
	if s.pages, err = s.app.handler(); err != nil {
		t.Fatal(err)
	}
	return s
}

// ask sends a body as JSON, or a form, as Robin's browser does.
func (s *signedIn) ask(method, path, body string) (int, string) {
	r := httptest.NewRequest(method, "http://127.0.0.1"+path, strings.NewReader(body))
	r.RemoteAddr = "192.0.2.7:4711"
	r.Header.Set("Content-Type", "application/json")
	if !strings.HasPrefix(body, "{") {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if s.cookie != "" {
		r.AddCookie(&http.Cookie{Name: "bainward", Value: s.cookie})
	}
	w := httptest.NewRecorder()
	s.pages.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		s.cookie = c.Value
	}
	return w.Code, w.Body.String()
}

// step is one route and how to come to where it can be asked for.
type step struct {
	route string
	path  func(s *signedIn) string // nil: the route itself, with bath and batch filled in
	body  func(s *signedIn) string
}

func text(body string) func(*signedIn) string { return func(*signedIn) string { return body } }

// after does something first.
func after(do func(s *signedIn), body string) func(*signedIn) string {
	return func(s *signedIn) string { do(s); return body }
}

// everyDeed goes through the routes in an order in which each is allowed.
func everyDeed() []step {
	phone, moved := subscription("https://push.example/a"), subscription("https://push.example/b")
	return []step{
		{route: "POST /door", body: text(url.Values{"name": {"robin"}, "password": {doorWords}}.Encode())},
		{route: "POST /phones/test", body: text(`{"who":"Sorrel"}`)},
		{route: "POST /push/subscriptions", body: text(`{"contact":"Sorrel","device":"kitchen phone","subscription":` + phone + `}`)},
		{route: "PUT /push/subscriptions", body: text(`{"replaces":"https://push.example/a","subscription":` + moved + `}`)},
		{route: "DELETE /push/subscriptions", body: text(`{"endpoint":"https://push.example/b"}`)},
		{route: "POST /api/probe/{address}/calibration", path: text("/api/probe/" + bathProbe.String() + "/calibration"), body: text(`{"do":"start"}`)},
		{route: "POST /api/probe/{address}/calibration", path: text("/api/probe/" + bathProbe.String() + "/calibration"), body: text(`{"do":"cancel"}`)},
		{route: "POST /api/recipes", body: text(`{"recipe":{"name":"nettle","herb":"Urtica dioica, leaf","herb_g":250,"oil_ml":800}}`)},
		{route: "POST /recipe", body: text(url.Values{"name": {"dock"}, "herb": {"Rumex obtusifolius, root"}, "herb_g": {"100"}, "oil": {"olive"}, "oil_ml": {"600"}}.Encode())},
		{route: "POST /api/bath/{bath}/recipe", body: text(`{"recipe":"nettle"}`)},
		{route: "POST /recipe/chosen", body: text(url.Values{"bath": {"north"}, "recipe": {"ribwort"}}.Encode())},
		{route: "POST /api/recipe/{name}/retired", path: text("/api/recipe/nettle/retired"), body: text(`{}`)},
		{route: "POST /recipe/retired", body: text(url.Values{"name": {"dock"}}.Encode())},
		{route: "POST /api/bath/{bath}/checklist", body: text(`{"done":["lid"]}`)},
		{route: "POST /api/bath/{bath}/event", body: after(func(s *signedIn) { s.hold() }, `{"event":"note","text":"smells of hay"}`)},
		{route: "POST /api/bath/{bath}/alarm", body: text(`{"alarm":"too-short","action":"out-of-service","reason":"trying"}`)},
		{route: "POST /api/bath/{bath}/void", body: func(s *signedIn) string {
			return fmt.Sprintf(`{"entry":%d,"reason":"a slip"}`, s.entry("note smells of hay"))
		}},
		{route: "POST /a/{token}", path: func(s *signedIn) string { runDry(s.kitchen); return "/a/" + s.openLink() }, body: text("")},
		{route: "POST /api/a/{token}", path: func(s *signedIn) string { return "/api/a/" + s.openLink() }, body: text(`{"who":"Sorrel"}`)},
		{route: "POST /api/bath/{bath}/heat", body: after((*signedIn).coolDown, `{}`)},
		{route: "POST /api/batch/{number}/material", body: text(`{"what":"herb","name":"Plantago lanceolata, leaf","lot":"hedge","quantity":"220 g","state":"fresh"}`)},
		{route: "POST /api/batch/{number}/weighing", body: text(`{"what":"oil-in","quantity":"740 g"}`)},
		{route: "POST /api/batch/{number}/bottles", body: after(func(s *signedIn) { s.did("strain; bottle 600 ml") },
			`{"count":2,"each":"250 ml","at_c":21,"place":"cool","label":true,"water":"none"}`)},
		{route: "POST /api/batch/{number}/moved", body: text(`{"bottles":[1],"place":"room"}`)},
		{route: "POST /api/batch/{number}/smelled", body: text(`{"bottles":[1],"smell":"fine"}`)},
		{route: "POST /api/batch/{number}/given", body: text(`{"bottle":1,"quantity":"30 ml","reference":"book 12"}`)},
		{route: "POST /api/batch/{number}/deviation", body: text(`{"text":"ran dry","explanation":"nobody looked"}`)},
		{route: "POST /api/goods/void", body: func(s *signedIn) string {
			e, _ := newestOf(s.t.(*testing.T), s.kitchen, &record.Deviation{})
			return fmt.Sprintf(`{"entry":%d,"reason":"a slip"}`, e.Seq)
		}},
		{route: "POST /api/batch/{number}/signature", path: func(s *signedIn) string {
			number := s.batch()
			s.pollFor(2 * time.Hour)
			return "/api/batch/" + number + "/signature"
		}, body: text(`{"meaning":"reviewed","password":"` + doorWords + `"}`)},
		{route: "POST /door/out", body: text("")},
	}
}

// Whatever somebody changes on the pages stands in the record with their name (ALCOA:
// attributable; 21 CFR 11.10(e); EU GMP Annex 11, 12.4), whatever name a body gives.
// A new route fails here until it does.
func TestEveryChangeSaysWhoDidIt(t *testing.T) {
	s := newSignedIn(t)
	walked := map[string]bool{}
	for _, one := range everyDeed() {
		walked[one.route] = true
		method, path, _ := strings.Cut(one.route, " ")
		body := one.body(s)
		if one.path != nil {
			path = one.path(s)
		}
		path = strings.NewReplacer("{bath}", "north", "{number}", s.batch()).Replace(path)
		before := len(s.entries())
		status, answer := s.ask(method, path, body)
		if status != http.StatusOK && status != http.StatusSeeOther {
			t.Fatalf("%s is answered %d: %s", one.route, status, answer)
		}
		if fresh := s.entries()[before:]; !slices.ContainsFunc(fresh, isRobins) {
			t.Errorf("%s: none of %d entries says that Robin did it", one.route, len(fresh))
		}
	}
	for _, route := range web.Changing() {
		if !walked[route] {
			t.Errorf("%s: show in everyDeed that the record names who did it", route)
		}
	}
}

// isRobins reports whether an entry names Robin as who did it.
func isRobins(e record.Entry) bool {
	var b struct{ By, Who string }
	return json.Unmarshal(e.Body, &b) == nil && (b.By == "Robin" || b.Who == "Robin")
}

// openLink waits for a message whose link still asks something.
func (s *signedIn) openLink() string {
	s.t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); s.poll(time.Second) {
		for _, n := range s.robin.all() {
			token := strings.TrimPrefix(n.Link, "http://alder.example/a/")
			if _, err := s.app.LookUp(s.t.Context(), token); n.Link != "" && err == nil {
				return token
			}
		}
	}
	s.t.Fatal("no link came that asks something")
	return ""
}

// coolDown brings a pan that ran dry to where the heat may be given back.
func (s *signedIn) coolDown() {
	s.read(92, 99.5)
	s.pollFor(2 * time.Minute)
	for _, action := range []alarm.Action{alarm.Acknowledge, alarm.Reset} {
		for _, id := range []rules.ID{rules.BoilingDry, rules.Overheating} {
			// One of the two may have nothing to acknowledge or to reset.
			_ = s.app.Alarm(s.t.Context(), "north", alarm.Command{Alarm: id, Action: action}, "Sorrel")
		}
		s.poll(time.Second)
	}
}

// subscription is what a browser gives that lets itself be called at endpoint (W3C
// Push API, PushSubscription.toJSON).
func subscription(endpoint string) string {
	own, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		panic(err)
	}
	base := base64.RawURLEncoding.EncodeToString
	return fmt.Sprintf(`{"endpoint":%q,"keys":{"p256dh":%q,"auth":%q}}`, endpoint, base(own.PublicKey().Bytes()), base(make([]byte, 16)))
}

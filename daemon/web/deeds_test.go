package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// post sends body to h as a program on this machine would.
func post(h http.Handler, path, body string, header ...string) (int, string) {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	var answer struct{ Done, Error string }
	_ = json.Unmarshal(w.Body.Bytes(), &answer) // an answer that is no JSON shows as empty
	return w.Code, answer.Done + answer.Error
}

func TestDeedsReachTheDoer(t *testing.T) {
	d := newFakeDoer()
	h := newHandler(t, newFakeView(holding("north")), d)
	for _, c := range []struct{ path, body, want string }{
		{"event", `{"event":"fill","quantity":"1.45 kg","who":"AB"}`, `event north "fill 1.45 kg" by AB`},
		{"event", `{"event":"top-up"}`, `event north "top-up" by `},
		{"event", `{"event":"note","text":"smells of hay; good","who":"Ää"}`, `event north "note smells of hay; good" by Ää`},
		{"void", `{"entry":412,"reason":"pressed by mistake","who":"AB"}`, `void north 412 "pressed by mistake" by AB`},
		{"alarm", `{"alarm":"top-up-due","action":"acknowledge"}`, `alarm north acknowledge top-up-due 0s "" by `},
		{"alarm", `{"alarm":"dish-bare","action":"shelve","for_s":600,"reason":"water comes","who":"AB"}`, `alarm north shelve dish-bare 10m0s "water comes" by AB`},
		{"alarm", `{"alarm":"boiling-dry","action":"reset"}`, `alarm north reset boiling-dry 0s "" by `},
		{"recipe", `{"recipe":"ribwort-fresh","who":"AB"}`, `recipe north ribwort-fresh by AB`},
	} {
		status, text := post(h, "/api/bath/north/"+c.path, c.body)
		if status != http.StatusOK || text == "" {
			t.Errorf("%s %s: status %d, %q", c.path, c.body, status, text)
			continue
		}
		if got := <-d.asked; got != c.want {
			t.Errorf("%s: the Doer was asked for %s, want %s", c.body, got, c.want)
		}
	}
}

func TestWrongRequestsChangeNothing(t *testing.T) {
	d := newFakeDoer()
	h := newHandler(t, newFakeView(holding("north")), d)
	for _, c := range []struct {
		path, body string
		status     int
		says       string
	}{
		{"/api/bath/west/event", `{"event":"light"}`, 404, `no bath "west"`},
		{"/api/bath/north/event", `{"event":"fill"}`, 400, "how much water"},
		{"/api/bath/north/event", `{"event":"fill","quantity":"much"}`, 400, "number and a unit"},
		{"/api/bath/north/event", `{"event":"light","quantity":"1 kg"}`, 400, "takes no quantity"},
		{"/api/bath/north/event", `{"event":"light","text":"now"}`, 400, ""},
		{"/api/bath/north/event", `{"event":"fill","text":"1 kg"}`, 400, "takes no text"},
		{"/api/bath/north/event", `{"event":"fill 2 kg"}`, 400, "quantity"},
		{"/api/bath/north/event", `{"event":"dance"}`, 400, "unknown event"},
		{"/api/bath/north/event", `{"event":"note"}`, 400, "needs its text"},
		{"/api/bath/north/event", `{"event":"note","text":"two\nlines"}`, 400, "one line"},
		{"/api/bath/north/event", `{"event":"note","text":"` + strings.Repeat("x", 501) + `"}`, 400, "500 characters"},
		{"/api/bath/north/event", `{"event":"light","who":"` + strings.Repeat("x", 41) + `"}`, 400, "40 characters"},
		{"/api/bath/north/event", `{"event":"light","extra":1}`, 400, "unknown field"},
		{"/api/bath/north/event", `{"event":"light"}{"event":"light"}`, 400, "one JSON object"},
		{"/api/bath/north/event", `light`, 400, "JSON"},
		{"/api/bath/north/event", ``, 400, "JSON"},
		{"/api/bath/north/event", `{"event":"` + strings.Repeat("x", maxBody) + `"}`, 413, "longer than"},
		{"/api/bath/north/void", `{"entry":4,"reason":" "}`, 400, "reason"},
		{"/api/bath/north/void", `{"entry":-4,"reason":"no"}`, 400, "number"},
		{"/api/bath/north/alarm", `{"alarm":"fire","action":"reset"}`, 400, `no alarm "fire"`},
		{"/api/bath/north/alarm", `{"alarm":"dish-bare","action":"forget"}`, 400, `no action "forget"`},
		{"/api/bath/north/alarm", `{"alarm":"dish-bare","action":"shelve","for_s":99999999999}`, 400, "for_s"},
		{"/api/bath/north/recipe", `{}`, 400, "name a recipe"},
		{"/api/bath/north/dance", `{}`, 404, "Nothing answers POST"},
	} {
		status, text := post(h, c.path, c.body)
		if status != c.status || text == "" || !strings.Contains(text, c.says) {
			t.Errorf("POST %s %.60s: status %d %q, want %d and %q", c.path, c.body, status, text, c.status, c.says)
		}
	}
	if len(d.asked) > 0 {
		t.Errorf("the Doer was asked for %s", <-d.asked)
	}
}

func TestARefusalIsToldInItsOwnWords(t *testing.T) {
	d := newFakeDoer()
	d.refuse = errors.New("light bath \"north\": it is lit already; take the entry back if that is wrong")
	status, text := post(newHandler(t, newFakeView(holding("north")), d), "/api/bath/north/event", `{"event":"light"}`)
	if status != http.StatusConflict || text != d.refuse.Error() {
		t.Errorf("status %d, %q", status, text)
	}
}

func TestPagesOfOtherSitesMayNotPress(t *testing.T) {
	d := newFakeDoer()
	h := newHandler(t, newFakeView(holding("north")), d)
	for name, header := range map[string][]string{
		"another site":              {"Sec-Fetch-Site", "cross-site"},
		"another host of this site": {"Sec-Fetch-Site", "same-site"},
		"an old browser elsewhere":  {"Origin", "http://elsewhere.example"},
	} {
		if status, text := post(h, "/api/bath/north/event", `{"event":"light"}`, header...); status != http.StatusForbidden || text == "" {
			t.Errorf("%s: status %d, %q", name, status, text)
		}
	}
	if status, _ := post(h, "/api/bath/north/event", `{"event":"light"}`, "Content-Type", "text/plain"); status != http.StatusUnsupportedMediaType {
		t.Errorf("a form of another page: status %d", status)
	}
	if len(d.asked) > 0 {
		t.Errorf("the Doer was asked for %s", <-d.asked)
	}
	if status, _ := post(h, "/api/bath/north/event", `{"event":"light"}`, "Sec-Fetch-Site", "same-origin"); status != http.StatusOK {
		t.Errorf("our own page: status %d", status)
	}
}

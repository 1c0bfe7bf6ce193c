package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// Programs that preview links open them; nothing may come of that.
func TestOpeningALinkAnswersNothing(t *testing.T) {
	p := newFakePhones()
	h := withPhones(t, p, nil)
	for _, method := range []string{http.MethodGet, http.MethodHead, http.MethodGet} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(method, "/a/"+goodToken, nil))
		if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Content-Security-Policy"), "form-action 'self'") {
			t.Errorf("%s: status %d, policy %q", method, w.Code, w.Header().Get("Content-Security-Policy"))
		}
		if method == http.MethodHead {
			continue
		}
		for _, want := range []string{"north", "dish-bare", "The water is below the dish base.", "Add hot water until", `datetime="2026-03-01T10:29:00Z"`, "for Robin"} {
			if !strings.Contains(w.Body.String(), want) {
				t.Errorf("the page lacks %q", want)
			}
		}
		if n := strings.Count(w.Body.String(), "<button"); n != 1 {
			t.Errorf("the page has %d buttons, want one", n)
		}
	}
	if len(p.asked) > 0 {
		t.Errorf("the Phones were asked to %s", <-p.asked)
	}
}

// press sends the form of a link's page. Where nothing may be told of the
// address, browsers send "Origin: null" (Fetch, "append a request Origin header").
func press(h http.Handler, token string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, "/a/"+token, strings.NewReader(""))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "null")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestTheButtonAnswersOnce(t *testing.T) {
	p := newFakePhones()
	h := withPhones(t, p, nil)
	w := press(h, goodToken)
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "You see to dish-bare.") || !strings.Contains(w.Body.String(), "Nobody else is called.") {
		t.Errorf("status %d\n%s", w.Code, w.Body)
	}
	if got := nextCall(t, p); got != `answer kiln-goose-41 by ""` {
		t.Errorf("the Phones were asked to %s", got)
	}
	if w := press(h, goodToken); w.Code != http.StatusGone || !strings.Contains(w.Body.String(), "This link is over") {
		t.Errorf("pressed again: status %d", w.Code)
	}
	if status, _, _ := get(t, h, "/a/"+goodToken); status != http.StatusGone {
		t.Errorf("opened again: status %d", status)
	}
}

// A stranger who guesses learns neither the place nor a bath, and who reads the
// log cannot answer.
func TestALinkThatAsksNothingTellsNothing(t *testing.T) {
	log := new(logged)
	p := newFakePhones()
	h := withPhones(t, p, log)
	w := press(h, "guess-1234567")
	_, _, opened := get(t, h, "/a/guess-1234567")
	if w.Code != http.StatusNotFound {
		t.Errorf("status %d, want 404", w.Code)
	}
	_, _ = post(h, "/api/a/guess-1234567", `{}`)
	_ = press(h, goodToken)
	over := press(h, goodToken)
	for _, body := range []string{w.Body.String(), opened, over.Body.String()} {
		for _, word := range []string{"Alder Yard", "north", "dish-bare", "Robin", "guess-1234567", goodToken, "0.0-test"} {
			if strings.Contains(body, word) {
				t.Errorf("the refusal holds %q", word)
			}
		}
	}
	for _, token := range []string{"guess-1234567", goodToken} {
		if strings.Contains(log.String(), token) {
			t.Errorf("the log holds the token %s:\n%s", token, log)
		}
	}
	if !strings.Contains(log.String(), "link refused") {
		t.Error("the log says nothing of a refused link: the test proves nothing")
	}
}

func TestLinksInJSON(t *testing.T) {
	p := newFakePhones()
	h := withPhones(t, p, nil)
	var q Question
	if err := json.Unmarshal([]byte(page(t, h, "/api/a/"+goodToken)), &q); err != nil || q.Alarm != "dish-bare" || q.Contact != "Robin" {
		t.Errorf("%+v, %v", q, err)
	}
	if status, _ := post(h, "/api/a/"+goodToken, `{"who":"AB"}`); status != http.StatusOK {
		t.Errorf("status %d", status)
	}
	if got := nextCall(t, p); got != `answer kiln-goose-41 by "AB"` {
		t.Errorf("the Phones were asked to %s", got)
	}
	for token, want := range map[string]int{goodToken: 410, "other": 404, "broken": 409} {
		if status, text := post(h, "/api/a/"+token, `{}`); status != want || text == "" {
			t.Errorf("%s: status %d, want %d, %q", token, status, want, text)
		}
	}
	if status, _ := post(h, "/api/a/"+goodToken, `{}`, "Sec-Fetch-Site", "cross-site"); status != http.StatusForbidden {
		t.Errorf("JSON from another site's page: status %d", status)
	}
}

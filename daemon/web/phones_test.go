package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// A site that calls nobody has no address and no word of it.
func TestWithoutPhonesThePagesSayNothingOfThem(t *testing.T) {
	h := newHandler(t, newFakeView(holding("north")), newFakeDoer())
	body := page(t, h, "/")
	for _, word := range []string{"Before you light", "Who was told", "data-push", "phones.js", "push.js"} {
		if strings.Contains(body, word) {
			t.Errorf("the page holds %q", word)
		}
	}
	for _, path := range []string{"/phones", "/api/phones", "/a/" + goodToken, "/push/key", "/wake.js"} {
		if status, _, _ := get(t, h, path); status != http.StatusNotFound {
			t.Errorf("GET %s: status %d, want 404", path, status)
		}
	}
}

func TestThePageSaysWhetherAlarmsReachAPerson(t *testing.T) {
	p := newFakePhones()
	body := page(t, withPhones(t, p, nil), "/")
	for _, want := range []string{
		"Before you light", ">Ready: push to Robin was proven on 27 February.", "no such mailbox", "Test the alarms",
		"Nobody has answered yet.", "Sorrel through post: <b>not sent</b>", `<option>Sorrel</option>`,
	} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	p.ready, p.why = false, "no alarm channel has been proven in the last 7 days"
	p.proofs, p.calls = nil, nil
	body = page(t, withPhones(t, p, nil), "/")
	for _, want := range []string{"Before you light", "Not ready: no alarm channel has been proven in the last 7 days.", "No way to call anybody is named"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(body, "Who was told") {
		t.Error("a list of nobody is shown")
	}
}

func TestATestOfTheAlarmsTellsWhatCameOfIt(t *testing.T) {
	p := newFakePhones()
	h := withPhones(t, p, nil)
	if status, text := post(h, "/phones/test", `{}`); status != http.StatusOK || !strings.Contains(text, "some messages did not go out") {
		t.Errorf("one of two failed: status %d, %q", status, text)
	}
	p.proofs = p.proofs[:1]
	if _, text := post(h, "/phones/test", `{}`); !strings.Contains(text, "sent through every channel") {
		t.Errorf("all went out: %q", text)
	}
	p.proofs[0].LastGood = p.proofs[0].LastGood.AddDate(0, -1, 0)
	if _, text := post(h, "/phones/test", `{}`); !strings.Contains(text, "nobody would be called") {
		t.Errorf("none went out: %q", text)
	}
	p.refuse = errors.New("test the alarms: one is running already")
	if status, text := post(h, "/phones/test", `{}`); status != http.StatusConflict || text != p.refuse.Error() {
		t.Errorf("a refusal: status %d, %q", status, text)
	}
	if status, _ := post(h, "/phones/test", `{}`, "Sec-Fetch-Site", "cross-site"); status != http.StatusForbidden {
		t.Errorf("another site's page: status %d", status)
	}
}

func TestThePhonesInJSON(t *testing.T) {
	var got struct {
		Ready  bool
		Proofs []map[string]any
		Calls  []struct{ Told []map[string]any }
	}
	if err := json.Unmarshal([]byte(page(t, withPhones(t, newFakePhones(), nil), "/api/phones")), &got); err != nil {
		t.Fatal(err)
	}
	if !got.Ready || len(got.Proofs) != 2 || len(got.Calls) != 1 || len(got.Calls[0].Told) != 2 {
		t.Fatalf("%+v", got)
	}
	if _, there := got.Proofs[1]["last_good"]; there {
		t.Errorf("a way that never worked says when: %v", got.Proofs[1])
	}
}

func TestAPhoneSignsUpAndOff(t *testing.T) {
	p := newFakePhones()
	h := withPhones(t, p, nil)
	if body := page(t, h, "/push/key"); strings.TrimSpace(body) != p.key {
		t.Errorf("the key is %q", body)
	}
	const path = "/push/subscriptions"
	for _, c := range []struct{ method, body, want string }{
		{http.MethodPost, `{"contact":"Robin","device":"kitchen phone","subscription":{"endpoint":"https://push.example/1"}}`, `sign up Robin "kitchen phone" {"endpoint":"https://push.example/1"}`},
		{http.MethodPut, `{"replaces":"https://push.example/1","subscription":{"endpoint":"https://push.example/2"}}`, `renew https://push.example/1 {"endpoint":"https://push.example/2"}`},
		{http.MethodDelete, `{"endpoint":"https://push.example/2"}`, `sign off https://push.example/2`},
	} {
		if status, text := send(h, c.method, path, c.body); status != http.StatusOK {
			t.Errorf("%s: status %d, %q", c.method, status, text)
		} else if got := nextCall(t, p); got != c.want {
			t.Errorf("%s: the Phones were asked to %s, want %s", c.method, got, c.want)
		}
	}
	for _, c := range []struct{ method, body string }{
		{http.MethodPost, `{"contact":" ","subscription":{}}`}, {http.MethodPost, `{"contact":"Robin"}`},
		{http.MethodPost, `{"contact":"Robin","subscription":"x"}`}, {http.MethodPost, `{"contact":"Ro\nbin","subscription":{}}`},
		{http.MethodPut, `{"subscription":{}}`}, {http.MethodDelete, `{}`},
	} {
		if status, text := send(h, c.method, path, c.body); status != http.StatusBadRequest || text == "" {
			t.Errorf("%s %s: status %d, %q", c.method, c.body, status, text)
		}
	}
	if len(p.asked) > 0 {
		t.Errorf("the Phones were asked to %s", <-p.asked)
	}
	p.key = ""
	if status, _, _ := get(t, h, "/push/key"); status != http.StatusNotFound {
		t.Errorf("without push the key answers %d", status)
	}
	if strings.Contains(page(t, h, "/"), "data-push") {
		t.Error("without push a phone can be signed up")
	}
}

// send is post with another method.
func send(h http.Handler, method, path, body string) (int, string) {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	var answer struct{ Done, Error string }
	_ = json.Unmarshal(w.Body.Bytes(), &answer) // an answer that is no JSON shows as empty
	return w.Code, answer.Done + answer.Error
}

// A service worker must lie at the root and be JavaScript, or browsers refuse it
// (W3C Service Workers, "Handle Fetch" and "Update").
func TestTheServiceWorkerAndTheManifestAreServedFromTheRoot(t *testing.T) {
	h := withPhones(t, newFakePhones(), nil)
	for path, kind := range map[string]string{"/wake.js": "text/javascript", "/app.webmanifest": "application/manifest+json"} {
		status, header, _ := get(t, h, path)
		if status != http.StatusOK || !strings.HasPrefix(header.Get("Content-Type"), kind) || header.Get("Cache-Control") != "no-cache" {
			t.Errorf("GET %s: status %d, %s, %s", path, status, header.Get("Content-Type"), header.Get("Cache-Control"))
		}
	}
	_, header, _ := get(t, h, "/")
	for _, want := range []string{"manifest-src 'self'", "worker-src 'self'"} {
		if !strings.Contains(header.Get("Content-Security-Policy"), want) {
			t.Errorf("the policy lacks %s", want)
		}
	}
}

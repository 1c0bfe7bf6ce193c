package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/people"
)

// A person who is not in is led to the door and back to the page that they asked
// for; the cookie is one that only this host, only TLS and no script gets at.
func TestAPersonComesInAndIsBackWhereTheyWere(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	w := served(all, request(http.MethodGet, "/bath/north?last=30m", ""))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/door?to=%2Fbath%2Fnorth%3Flast%3D30m" {
		t.Fatalf("a stranger gets %d to %q", w.Code, w.Header().Get("Location"))
	}
	w = served(all, request(http.MethodGet, w.Header().Get("Location"), ""))
	if csp := w.Header().Get("Content-Security-Policy"); w.Code != http.StatusOK || !strings.Contains(csp, "form-action 'self'") || !strings.Contains(w.Body.String(), `value="/bath/north?last=30m"`) {
		t.Fatalf("the door: %d, policy %q\n%s", w.Code, csp, w.Body)
	}
	w = served(all, form("/door", "name", "robin", "password", doorWords, "to", "/bath/north?last=30m"))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/bath/north?last=30m" {
		t.Fatalf("who signs in gets %d to %q\n%s", w.Code, w.Header().Get("Location"), w.Body)
	}
	cookie := w.Result().Cookies()[0]
	if got := w.Header().Get("Set-Cookie"); got != fmt.Sprintf("__Host-bainward=%s; Path=/; Max-Age=604800; HttpOnly; Secure; SameSite=Strict", cookie.Value) {
		t.Errorf("the cookie is %q", got)
	}
	if len(cookie.Value) != 43 { // 256 bits in base64 (RFC 4648)
		t.Errorf("the token has %d characters, want 43", len(cookie.Value))
	}
	r := request(http.MethodGet, "/bath/north", "")
	r.AddCookie(cookie)
	w = served(all, r)
	if csp := w.Header().Get("Content-Security-Policy"); w.Code != http.StatusOK || !strings.Contains(csp, "form-action 'none'") {
		t.Errorf("the page of the bath: %d, policy %q", w.Code, csp)
	}
}

// Signing out takes the cookie back and ends the session for whoever kept a copy.
func TestSigningOutEndsTheSession(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	w := served(all, h.as(people.Maker, request(http.MethodGet, "/door", "")))
	if body := w.Body.String(); w.Code != http.StatusOK || !strings.Contains(body, "You are Sorrel") || !strings.Contains(body, `action="/door/out"`) {
		t.Fatalf("who is in sees %d\n%s", w.Code, body)
	}
	w = served(all, h.as(people.Maker, form("/door/out")))
	if got := w.Header().Get("Set-Cookie"); w.Code != http.StatusSeeOther || got != "__Host-bainward=; Path=/; Max-Age=0; HttpOnly; Secure; SameSite=Strict" {
		t.Errorf("signing out gives %d, cookie %q", w.Code, got)
	}
	if w := served(all, h.as(people.Maker, request(http.MethodGet, "/api/baths", ""))); w.Code != http.StatusUnauthorized {
		t.Errorf("the token still gives %d", w.Code)
	}
	last := h.said[len(h.said)-1]
	if want := (people.Access{What: people.SignedOut, Who: "Sorrel", From: "network"}); last != want {
		t.Errorf("said %v, want %v", last, want)
	}
}

// Coming in again ends the session that the browser had; the new token is another.
func TestComingInAgainEndsTheSessionBefore(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	w := served(all, h.as(people.Viewer, form("/door", "name", "Robin", "password", doorWords)))
	if w.Code != http.StatusSeeOther || w.Result().Cookies()[0].Value == h.token[people.Viewer] {
		t.Fatalf("coming in gives %d, cookie %v", w.Code, w.Result().Cookies())
	}
	if _, in := h.door.Who(h.token[people.Viewer]); in {
		t.Error("the session before goes on")
	}
}

// Whatever is wrong, the page says the same and keeps what was typed; nothing of the
// password comes back.
func TestWrongIsWrong(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	var pages []string
	for _, name := range []string{"Robin", "Juniper"} {
		w := served(all, form("/door", "name", name, "password", "not the words", "to", "/plan"))
		body := w.Body.String()
		if w.Code != http.StatusForbidden || w.Header().Get("Set-Cookie") != "" || !strings.Contains(body, "The name or the password is wrong.") ||
			!strings.Contains(body, `value="/plan"`) || strings.Contains(body, "not the words") {
			t.Errorf("%s gets %d\n%s", name, w.Code, body)
		}
		pages = append(pages, strings.ReplaceAll(body, name, "NAME"))
	}
	if pages[0] != pages[1] {
		t.Error("the page tells a name that is known from one that is not")
	}
}

// Who guesses is told to wait, and then until when the door stays shut. A session,
// and the link in a message, do not notice.
func TestALockedDoorSaysUntilWhen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newDoorHouse(t)
		all := h.handler(t)
		var w *httptest.ResponseRecorder
		for range 60 {
			w = served(all, form("/door", "name", "Robin", "password", "not the words"))
			if strings.Contains(w.Body.String(), "stays shut") {
				break
			}
			if w.Code == http.StatusTooManyRequests {
				seconds, err := time.ParseDuration(w.Header().Get("Retry-After") + "s")
				if err != nil {
					t.Fatal(err)
				}
				time.Sleep(seconds)
			}
		}
		until := time.Now().Add(15 * time.Minute).Local().Format("15:04")
		if w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") != "900" || !strings.Contains(w.Body.String(), "Too many tries failed: the door stays shut until "+until+".") {
			t.Fatalf("at last %d, Retry-After %s\n%s", w.Code, w.Header().Get("Retry-After"), w.Body)
		}
		if w := served(all, h.as(people.Keeper, request(http.MethodGet, "/", ""))); w.Code != http.StatusOK {
			t.Errorf("who was in gets %d", w.Code)
		}
		if w := served(all, request(http.MethodGet, "/a/"+goodToken, "")); w.Code != http.StatusOK {
			t.Errorf("the link in a message gives %d", w.Code)
		}
		r := request(http.MethodPost, "/a/"+goodToken, "")
		if w := served(all, r); w.Code != http.StatusOK {
			t.Errorf("answering by it gives %d\n%s", w.Code, w.Body)
		}
	})
}

// A link that was used says so, to somebody who is not signed in too.
func TestAUsedLinkSaysSo(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	if w := served(all, request(http.MethodPost, "/a/"+goodToken, "")); w.Code != http.StatusOK {
		t.Fatalf("the first use gives %d", w.Code)
	}
	for _, method := range []string{http.MethodGet, http.MethodPost} {
		w := served(all, request(method, "/a/"+goodToken, ""))
		if w.Code != http.StatusGone || !strings.Contains(w.Body.String(), "used already") {
			t.Errorf("%s a second time gives %d\n%s", method, w.Code, w.Body)
		}
	}
}

// The record gets the name of the session, whatever the body says; without people it
// gets the body's.
func TestWhoIsWhoIsSignedIn(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	for body, want := range map[string]string{
		`{"event":"top-up","quantity":"0.5 l","who":"Robin"}`: `event north "top-up 0.5 l" by Sorrel`,
		`{"event":"turn-down"}`:                               `event north "turn-down" by Sorrel`,
	} {
		r := h.as(people.Maker, request(http.MethodPost, "/api/bath/north/event", body))
		r.Header.Set("Content-Type", "application/json")
		if w := served(all, r); w.Code != http.StatusOK {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		if got := <-h.doer.asked; got != want {
			t.Errorf("the Doer was asked for %s, want %s", got, want)
		}
	}
}

// An open stream ends soon after its session does.
func TestAnOpenStreamEndsWithItsSession(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newDoorHouse(t)
		ended := make(chan struct{})
		mux := http.NewServeMux()
		mux.HandleFunc("GET /live", func(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done(); close(ended) })
		go served(h.server.keepDoor(mux), h.as(people.Viewer, request(http.MethodGet, "/live", "")))
		time.Sleep(people.Idle + time.Hour) // being open is a use
		select {
		case <-ended:
			t.Fatal("the stream ended while its session lasted")
		default:
		}
		h.door.SignOut(h.token[people.Viewer], "here")
		time.Sleep(lookAgain)
		synctest.Wait()
		select {
		case <-ended:
		default:
			t.Error("the stream outlives its session")
		}
	})
}

// A page of another site cannot sign anybody in or out.
func TestOtherSitesDoNothingAtTheDoor(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	for _, path := range []string{"/door", "/door/out"} {
		for name, value := range map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"} {
			r := h.as(people.Maker, form(path, "name", "Robin", "password", doorWords))
			r.Header.Set(name, value)
			if w := served(all, r); w.Code != http.StatusForbidden || w.Header().Get("Set-Cookie") != "" {
				t.Errorf("%s with %s: %d, cookie %q", path, value, w.Code, w.Header().Get("Set-Cookie"))
			}
		}
	}
	if _, in := h.door.Who(h.token[people.Maker]); !in {
		t.Error("somebody was signed out")
	}
}

// Without TLS, on this machine, the cookie makes no promise that it cannot keep; and
// where something passes the pages on under TLS, it does.
func TestTheCookieFitsTheWay(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t, func(o *Options) { o.Doorway.Public = "https://alder-yard.example" })
	for host, want := range map[string]string{"127.0.0.1:8470": "bainward", "alder-yard.example": "__Host-bainward"} {
		r := form("/door", "name", "Robin", "password", doorWords)
		r.TLS, r.RemoteAddr, r.Host = nil, "127.0.0.1:4711", host
		w := served(all, r)
		c := w.Result().Cookies()
		if len(c) != 1 || c[0].Name != want || c[0].Secure != (want == safeCookie) || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode {
			t.Errorf("at %s: %d, %v", host, w.Code, c)
		}
	}
}

// Without a single password the door says what to do.
func TestADoorWithoutPasswordsSaysWhatToDo(t *testing.T) {
	h := newDoorHouse(t)
	if err := os.Remove(filepath.Join(h.dir, "people")); err != nil {
		t.Fatal(err)
	}
	if w := served(h.handler(t), request(http.MethodGet, "/door", "")); !strings.Contains(w.Body.String(), "set-password") {
		t.Errorf("the door says\n%s", w.Body)
	}
}

// A script is told whose page it is; without people, nobody's.
func TestAnOpenPageIsToldWhoseItIs(t *testing.T) {
	h := newDoorHouse(t)
	all := h.handler(t)
	for role, want := range map[people.Role]string{
		people.Viewer: `{"enters":false,"name":"Ash","role":"viewer"}`, people.Keeper: `{"enters":true,"name":"Robin","role":"keeper"}`,
	} {
		if got := strings.TrimSpace(served(all, h.as(role, request(http.MethodGet, "/door/me", ""))).Body.String()); got != want {
			t.Errorf("%s: %s, want %s", role, got, want)
		}
	}
	open := h.handler(t, func(o *Options) { o.Doorway.People = nil })
	if got := strings.TrimSpace(served(open, request(http.MethodGet, "/door/me", "")).Body.String()); got != `{"enters":true,"name":"","role":""}` {
		t.Errorf("without people: %s", got)
	}
	if w := served(open, request(http.MethodGet, "/door", "")); w.Code != http.StatusNotFound {
		t.Errorf("without people the door is there: %d", w.Code)
	}
}

// Only a certificate that somebody believes makes browsers insist on it.
func TestBrowsersInsistOnAGivenCertificateOnly(t *testing.T) {
	h := newDoorHouse(t)
	for lasting, want := range map[bool]string{true: "max-age=15768000", false: ""} {
		all := h.handler(t, func(o *Options) { o.Doorway.Lasting = lasting })
		if got := served(all, request(http.MethodGet, "/door", "")).Header().Get("Strict-Transport-Security"); got != want {
			t.Errorf("given %v: %q, want %q", lasting, got, want)
		}
	}
}

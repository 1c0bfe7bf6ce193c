package alive

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
)

const token = "t0psecret-41c7"

// once makes one call to path of a server, over the real client.
func once(t *testing.T, server *httptest.Server, path string) error {
	t.Helper()
	o, err := Options{
		URL:    notice.NewSecret(server.URL + path + "?key=" + token),
		Well:   func() (bool, string) { return true, "" },
		Client: server.Client(),
	}.complete()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	return caller(o)(ctx)
}

// other is another host: an address that no redirect may lead to.
func other(t *testing.T) *httptest.Server {
	t.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) {
		t.Error("the other host was called")
	}))
	t.Cleanup(s.Close)
	return s
}

// A redirect is followed within the host and nowhere else, for its path is a
// secret that the other host has no business with; and never to plain http.
func TestRedirectsStayOnTheHost(t *testing.T) {
	elsewhere := other(t)
	arrived := ""
	mux := http.NewServeMux()
	mux.HandleFunc("/near", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, "/here", http.StatusFound) })
	mux.HandleFunc("/far", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, elsewhere.URL+"/"+token, http.StatusFound)
	})
	mux.HandleFunc("/round", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, "/round", http.StatusFound) })
	mux.HandleFunc("/plain", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, "http://"+r.Host+"/here", http.StatusFound)
	})
	mux.HandleFunc("/here", func(_ http.ResponseWriter, r *http.Request) { arrived = r.Header.Get("User-Agent") })
	server := httptest.NewTLSServer(mux)
	t.Cleanup(server.Close)

	if err := once(t, server, "/near"); err != nil || arrived != "bainward" {
		t.Errorf("within the host: %v, arrived as %q", err, arrived)
	}
	for path, want := range map[string]string{
		"/far":   "redirects to another host",
		"/plain": "redirects from https to http",
		"/round": "more than 3 redirects",
	} {
		err := once(t, server, path)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q in it", path, err, want)
		}
		if err != nil && strings.Contains(err.Error(), token) {
			t.Errorf("%s: the token stands in %q", path, err)
		}
	}
}

// However a call fails, the error holds neither host nor path nor key.
func TestNoErrorHoldsTheAddress(t *testing.T) {
	closed := httptest.NewServer(nil)
	closed.Close()
	cut := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		conn, _, err := w.(http.Hijacker).Hijack()
		if err != nil {
			t.Error(err)
			return
		}
		conn.Close()
	}))
	t.Cleanup(cut.Close)
	echo := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Location", "://"+r.URL.RawQuery) // what cannot be parsed is repeated by the client
		w.WriteHeader(http.StatusFound)
		_, _ = io.WriteString(w, r.URL.RawQuery)
	}))
	t.Cleanup(echo.Close)
	for name, server := range map[string]*httptest.Server{"refused": closed, "cut": cut, "bad redirect": echo} {
		err := once(t, server, "/beat/"+token)
		host, _, _ := net.SplitHostPort(server.Listener.Addr().String())
		if err == nil || !strings.HasPrefix(err.Error(), "call the heartbeat's address: ") {
			t.Errorf("%s: got %v", name, err)
			continue
		}
		for _, part := range []string{token, host, server.URL, "beat/"} {
			if strings.Contains(err.Error(), part) {
				t.Errorf("%s: %q stands in %q", name, part, err)
			}
		}
	}
}

package web

import (
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"

	"bainward/daemon/people"
)

// The names of the cookie that holds the token of a session. A browser takes one
// that begins with __Host- only when it came under TLS and belongs to this host
// alone (RFC 6265bis, 4.1.3.2), so that no neighbour can plant one. Without TLS,
// which is allowed on this machine alone, there is no such promise to be had.
const (
	safeCookie  = "__Host-bainward"
	plainCookie = "bainward"
)

// private reports whether the browser reached us under TLS: here, or at whatever
// passes the pages on.
func (d *Doorway) private(r *http.Request) bool {
	if r.TLS != nil {
		return true
	}
	u, err := url.Parse(d.Public)
	return err == nil && u.Scheme == "https" && strings.EqualFold(u.Host, r.Host) && fromLoopback(r)
}

func (d *Doorway) cookieName(r *http.Request) string {
	if d.private(r) {
		return safeCookie
	}
	return plainCookie
}

// tokenOf returns the token of the session that the browser says it has.
func (d *Doorway) tokenOf(r *http.Request) string {
	c, err := r.Cookie(d.cookieName(r))
	if err != nil {
		return ""
	}
	return c.Value
}

// giveCookie hands a token to the browser, or takes it back if it is empty. No
// script sees it, and no other site can have it sent along.
func (d *Doorway) giveCookie(w http.ResponseWriter, r *http.Request, token string) {
	c := &http.Cookie{
		Name: d.cookieName(r), Value: token, Path: "/", MaxAge: int(people.Absolute.Seconds()),
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: d.private(r),
	}
	if token == "" {
		c.MaxAge = -1
	}
	http.SetCookie(w, c)
}

// fromLoopback reports whether the other end of the connection is this machine: it
// has a loopback address, or the very one that it asked.
func fromLoopback(r *http.Request) bool {
	there, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return false
	}
	if there.Addr().Unmap().IsLoopback() {
		return true
	}
	asked, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr)
	return ok && asked.AddrPort().Addr().Unmap() == there.Addr().Unmap()
}

package web

import (
	"crypto/subtle"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// knows reports whether the pages may be asked for by host, the Host of a request.
// A page of another site can have its own name lead here, and would then pass for
// ours ("DNS rebinding"); an address in digits can not be made to.
func (d *Doorway) knows(host string) bool {
	if d.Hosts == nil {
		return true
	}
	name := bareHost(host)
	if _, err := netip.ParseAddr(name); err == nil || name == "localhost" || strings.HasSuffix(name, ".localhost") {
		return true
	}
	return slices.ContainsFunc(d.Hosts, func(h string) bool { return strings.EqualFold(h, name) })
}

// bareHost takes port, brackets and a last dot from the Host of a request.
func bareHost(host string) string {
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	return strings.ToLower(strings.TrimSuffix(strings.Trim(host, "[]"), "."))
}

func (s *server) wrongHost(w http.ResponseWriter, r *http.Request) {
	s.log.Warn("refused a name that is not ours", "host", r.Host)
	writeError(w, http.StatusMisdirectedRequest,
		"these pages are not asked for by that name: use the address that the daemon printed, or add the name to hosts under [door] in the site file")
}

// passedOn reports whether something on this machine passed a request on. Via is what
// a proxy must add (RFC 9110, 7.6.3), Forwarded what it may (RFC 7239), and the rest is
// what they do add (common practice, no source). One of them is enough: who comes
// from elsewhere must not pass for this machine.
func passedOn(r *http.Request) bool {
	for _, name := range []string{"X-Forwarded-For", "Forwarded", "Via", "X-Real-Ip", "X-Forwarded-Host", "X-Forwarded-Proto"} {
		if r.Header.Get(name) != "" {
			return true
		}
	}
	return false
}

// here reports whether a request began on this machine.
func here(r *http.Request) bool { return fromLoopback(r) && !passedOn(r) }

// addressOf returns what the failures of one place are counted under, and the word
// for it in the record. What passes pages on here says for whom; nobody else is
// believed. Of an IPv6 address only the network counts: its last half is chosen
// freely (RFC 4291).
func addressOf(r *http.Request) (address, from string) {
	if here(r) {
		return "here", "here"
	}
	text, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		text = r.RemoteAddr
	}
	if fromLoopback(r) {
		list := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
		text = strings.TrimSpace(list[len(list)-1]) // the one that the nearest wrote
	}
	at, err := netip.ParseAddr(text)
	if err != nil {
		return "unknown", "network"
	}
	at = at.Unmap()
	if at.Is6() {
		if p, err := at.WithZone("").Prefix(64); err == nil {
			return p.String(), "network"
		}
	}
	return at.String(), "network"
}

// mayScrape lets a Prometheus of this machine in, and one that shows the token of
// the site file.
func (s *server) mayScrape(r *http.Request) bool {
	if here(r) && localName(bareHost(r.Host)) {
		return true
	}
	shown, ok := bearer(r)
	if !ok || s.door.MetricsToken == nil {
		return false
	}
	token, err := s.door.MetricsToken()
	if err != nil {
		s.log.Error("metrics are shown to nobody by token", "error", err)
		return false
	}
	return subtle.ConstantTimeCompare([]byte(shown), []byte(token)) == 1
}

func localName(name string) bool {
	at, err := netip.ParseAddr(name)
	return name == "localhost" || err == nil && at.IsLoopback()
}

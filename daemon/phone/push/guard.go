package push

import (
	"errors"
	"net"
	"net/http"
	"net/netip"
	"syscall"
	"time"
)

// errInside is a name that leads into the house.
var errInside = errors.New("the address lies inside the house; a push service is outside")

// newClient returns a client that goes only to the outside world. An endpoint
// comes from whoever can open the page, and would else let him send requests to
// every machine of the house. The address is judged when it is dialled, so a
// name that changes its address gains nothing. A proxy would hide the address
// from the guard: none is used.
func newClient(loopback bool) *http.Client {
	dialer := &net.Dialer{
		Timeout: patience,
		Control: func(_, address string, _ syscall.RawConn) error {
			at, err := netip.ParseAddrPort(address)
			if err != nil || !reachable(at.Addr(), loopback) {
				return errInside
			}
			return nil
		},
	}
	return &http.Client{
		Transport: &http.Transport{
			DialContext: dialer.DialContext, ForceAttemptHTTP2: true,
			TLSHandshakeTimeout: patience, IdleConnTimeout: time.Minute, MaxIdleConnsPerHost: 2,
			MaxResponseHeaderBytes: 64 << 10,
		},
		// Nor does a redirect lead anywhere: what came is the answer.
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
}

// reachable reports whether a push service may have this address: a public one,
// or this machine's if loopback is allowed.
func reachable(ip netip.Addr, loopback bool) bool {
	ip = ip.Unmap()
	if ip.IsLoopback() {
		return loopback
	}
	if translated.Contains(ip) {
		octets := ip.As16()
		return reachable(netip.AddrFrom4([4]byte(octets[12:])), false)
	}
	if !ip.IsGlobalUnicast() || ip.IsPrivate() {
		return false
	}
	for _, p := range special {
		if p.Contains(ip) {
			return false
		}
	}
	return true
}

// translated is where an IPv6-only network reaches IPv4 addresses, in the last
// 32 bits (RFC 6052, 2.1).
var translated = netip.MustParsePrefix("64:ff9b::/96")

// special are the blocks that are not reached from everywhere, beyond those that
// net/netip knows (IANA special-purpose address registries, RFC 6890).
var special = []netip.Prefix{
	netip.MustParsePrefix("0.0.0.0/8"),
	netip.MustParsePrefix("100.64.0.0/10"), // between provider and house
	netip.MustParsePrefix("192.0.0.0/24"),
	netip.MustParsePrefix("192.0.2.0/24"), // documentation
	netip.MustParsePrefix("198.18.0.0/15"),
	netip.MustParsePrefix("198.51.100.0/24"),
	netip.MustParsePrefix("203.0.113.0/24"),
	netip.MustParsePrefix("240.0.0.0/4"),
	netip.MustParsePrefix("64:ff9b:1::/48"),
	netip.MustParsePrefix("100::/64"),
	netip.MustParsePrefix("2001:db8::/32"), // documentation
	netip.MustParsePrefix("2002::/16"),     // 6to4: an IPv4 address is inside
	netip.MustParsePrefix("fec0::/10"),
}

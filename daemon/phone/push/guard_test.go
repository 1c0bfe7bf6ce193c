package push

import (
	"errors"
	"net/netip"
	"strings"
	"testing"

	"bainward/daemon/phone/notice"
)

// An address inside the house, or of no public network, has no push service
// (IANA special-purpose address registries, RFC 6890).
func TestOnlyPublicAddressesAreReached(t *testing.T) {
	for address, want := range map[string]bool{
		"8.8.8.8": true, "2606:4700::1": true, "172.32.0.1": true, "100.128.0.1": true, "64:ff9b::808:808": true,
		"127.0.0.1": false, "::1": false, "::ffff:127.0.0.1": false, "0.0.0.0": false, "0.1.2.3": false, "::": false,
		"10.0.0.1": false, "172.16.0.1": false, "172.31.255.255": false, "192.168.1.1": false, "fd00::1": false,
		"169.254.169.254": false, "fe80::1": false, "100.64.0.1": false, "224.0.0.1": false, "ff02::1": false,
		"255.255.255.255": false, "240.0.0.1": false, "198.18.0.1": false, "192.0.2.1": false, "2001:db8::1": false,
		"64:ff9b::c0a8:101": false, "64:ff9b::7f00:1": false, "2002:c0a8:101::1": false, "::ffff:192.168.1.1": false,
	} {
		if got := reachable(netip.MustParseAddr(address), false); got != want {
			t.Errorf("%s is reached: %v, want %v", address, got, want)
		}
	}
	if !reachable(netip.MustParseAddr("127.0.0.1"), true) || reachable(netip.MustParseAddr("192.168.1.1"), true) {
		t.Error("the option lets loopback through, and nothing else")
	}
}

// A name that leads into the house is found out as it is dialled: no request
// reaches the machine behind it, and no other try is made.
func TestANameThatLeadsInsideIsNotDialled(t *testing.T) {
	s := newService(t)
	o, err := Open(t.TempDir(), subject)
	if err != nil {
		t.Fatal(err)
	}
	endpoint := strings.Replace(s.URL, "http://127.0.0.1", "https://localhost", 1) + "/w/abc"
	if err := o.SignUp("Robin", "kitchen phone", newPhone(t, endpoint).subscription()); err != nil {
		t.Fatal(err)
	}
	_, err = o.Channel("page", "Robin").Send(t.Context(), raised())
	f, ok := errors.AsType[*notice.Failure](err)
	if !ok || !f.Final || !strings.Contains(f.Error(), "inside the house") {
		t.Errorf("%+v", err)
	}
	if len(s.got) != 0 {
		t.Error("a request reached it")
	}
}

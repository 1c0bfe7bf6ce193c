package webhook

import (
	"bytes"
	"encoding/hex"
	"strings"
	"testing"
)

// The code is the one of RFC 4231, section 4, test cases 1 to 4, 6 and 7 (case 5 is
// of a truncated code, which is not used).
func TestTheCodeIsThatOfRFC4231(t *testing.T) {
	counted := make([]byte, 25)
	for i := range counted {
		counted[i] = byte(i + 1)
	}
	long := bytes.Repeat([]byte{0xaa}, 131)
	for i, c := range []struct {
		key  []byte
		data string
		want string
	}{
		{bytes.Repeat([]byte{0x0b}, 20), "Hi There", "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7"},
		{[]byte("Jefe"), "what do ya want for nothing?", "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"},
		{bytes.Repeat([]byte{0xaa}, 20), strings.Repeat("\xdd", 50), "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"},
		{counted, strings.Repeat("\xcd", 50), "82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b"},
		{long, "Test Using Larger Than Block-Size Key - Hash Key First", "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54"},
		{long, "This is a test using a larger than block-size key and a larger than block-size data. The key needs to be hashed before being used by the HMAC algorithm.", "9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2"},
	} {
		if got := hex.EncodeToString(mac(c.key, []byte(c.data))); got != c.want {
			t.Errorf("case %d: %s, not %s", i, got, c.want)
		}
	}
}

// The signature covers time and body: a change of either makes another one, and the
// dot keeps the two apart.
func TestTheSignatureCoversTimeAndBody(t *testing.T) {
	k := []byte(key)
	one := sign(k, "17", []byte("body"))
	if !strings.HasPrefix(one, "v1=") || len(one) != len("v1=")+64 {
		t.Errorf("signature %q", one)
	}
	if want := "v1=" + hex.EncodeToString(mac(k, []byte("17.body"))); one != want {
		t.Errorf("signature %q, not %q", one, want)
	}
	for _, other := range []string{sign(k, "18", []byte("body")), sign(k, "17", []byte("Body")), sign([]byte("other"), "17", []byte("body"))} {
		if other == one {
			t.Errorf("%q again", other)
		}
	}
}

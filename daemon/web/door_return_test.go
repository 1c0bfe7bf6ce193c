package web

import (
	"net/url"
	"slices"
	"strings"
	"testing"
)

// FuzzSafeReturn holds the way back to what a browser makes of it: whatever is
// asked for, it stays here. Leaving out tabs and line ends and taking \ for / is
// what browsers do first (WHATWG URL, 4.4).
func FuzzSafeReturn(f *testing.F) {
	for _, seed := range []string{
		"/", "/bath/north?last=30m", "//evil.example", `/\evil.example`, "/\t/evil.example", "/.//evil.example", "/%2F/evil.example", "/..//evil.example",
		"https://evil.example", "javascript:alert(1)", "/door?to=/door", "/a b", "/?#x", "/%zz", "\\\\evil.example", "/\u2028/x", "", "/%5Cevil.example", "/@evil.example",
	} {
		f.Add(seed)
	}
	base := &url.URL{Scheme: "https", Host: "192.0.2.1:8470", Path: "/door"}
	f.Fuzz(func(t *testing.T, to string) {
		got := safeReturn(to)
		read := strings.NewReplacer("\t", "", "\n", "", "\r", "", `\`, "/").Replace(strings.TrimSpace(got))
		if !strings.HasPrefix(read, "/") || strings.HasPrefix(read, "//") {
			t.Fatalf("%q leads to %q", to, got)
		}
		u, err := base.Parse(read)
		if err != nil || u.Host != base.Host || u.Scheme != base.Scheme {
			t.Fatalf("%q leads to %v, %v", to, u, err)
		}
		if again := safeReturn(got); again != got {
			t.Fatalf("%q leads to %q and then to %q", to, got, again)
		}
	})
}

// Pages of ours are come back to as they were asked for; the door itself is not.
func TestTheWayBack(t *testing.T) {
	for to, want := range map[string]string{
		"/bath/north?last=30m": "/bath/north?last=30m", "/batch/north%2F1": "/batch/north%2F1", "/": "/", "": "/", "/door": "/", "/door/out": "/",
		"//evil.example/x": "/", "/\\evil.example": "/", "https://evil.example": "/", "/" + strings.Repeat("x", maxReturn): "/",
	} {
		if got := safeReturn(to); got != want {
			t.Errorf("%q leads to %q, want %q", to, got, want)
		}
	}
	if !slices.Equal([]string{doorFor("/"), doorFor("/plan")}, []string{"/door", "/door?to=%2Fplan"}) {
		t.Errorf("doors: %q, %q", doorFor("/"), doorFor("/plan"))
	}
}

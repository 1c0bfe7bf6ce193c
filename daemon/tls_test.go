package main

import (
	"crypto/tls"
	"crypto/x509"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func ownCertificate(dir string, names ...string) *certificate {
	file := filepath.Join(dir, "tls", "self-made.pem")
	return &certificate{cert: file, key: file, names: names, selfMade: true, log: slog.New(slog.DiscardHandler)}
}

// The self-made certificate is of the kind that browsers take once a person has let
// it in, is for its owner alone, and stays the same over restarts. What openssl reads
// in it is what we print.
func TestTheSelfMadeCertificate(t *testing.T) {
	dir := t.TempDir()
	c := ownCertificate(dir, "alder-pi", "alder-pi.local", "127.0.0.1", "::1")
	if _, err := c.open(); err != nil {
		t.Fatal(err)
	}
	leaf := c.now.Leaf
	if !slices.Equal(leaf.DNSNames, []string{"alder-pi", "alder-pi.local"}) || len(leaf.IPAddresses) != 2 || leaf.PublicKeyAlgorithm != x509.ECDSA || leaf.IsCA {
		t.Errorf("it is for %v and %v, by %s, an authority: %v", leaf.DNSNames, leaf.IPAddresses, leaf.PublicKeyAlgorithm, leaf.IsCA)
	}
	if lasts := leaf.NotAfter.Sub(leaf.NotBefore); lasts > 398*24*time.Hour {
		t.Errorf("it lasts %s; browsers want 398 days at most", lasts)
	}
	for path, want := range map[string]fs.FileMode{c.cert: 0o600, filepath.Dir(c.cert): 0o700} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s has mode %v, %v; want %v", path, info.Mode(), err, want)
		}
	}
	again := ownCertificate(dir, "another-name")
	if again.fingerprint() != c.fingerprint() || len(c.fingerprint()) != 95 {
		t.Errorf("after a restart the fingerprint is %s, before %s", again.fingerprint(), c.fingerprint())
	}
	out, err := exec.Command("openssl", "x509", "-in", c.cert, "-noout", "-fingerprint", "-sha256", "-text").CombinedOutput()
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%v: %s", err, out)
		}
		t.Skip(err)
	}
	for _, says := range []string{"=" + c.fingerprint() + "\n", "NIST CURVE: P-256", "DNS:alder-pi.local", "TLS Web Server Authentication"} {
		if !strings.Contains(string(out), says) {
			t.Errorf("openssl does not say %q:\n%s", says, out)
		}
	}
}

// It is made anew a month before it expires, while the daemon runs, and not before.
func TestTheSelfMadeCertificateIsRenewedInTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := ownCertificate(t.TempDir(), "alder-pi")
		first := c.fingerprint()
		time.Sleep(certificateLasts - renewBefore - time.Hour)
		if got := c.fingerprint(); got != first {
			t.Error("it is made anew too early")
		}
		time.Sleep(2 * time.Hour)
		if got := c.fingerprint(); got == first || got == "" {
			t.Errorf("a month before its end it is still %s", got)
		}
		if left := time.Until(c.now.Leaf.NotAfter); left < certificateLasts-time.Hour {
			t.Errorf("the new one lasts %s", left)
		}
	})
}

// A key that everybody on the machine can read is told of.
func TestAReadableKeyIsToldOf(t *testing.T) {
	dir := t.TempDir()
	text, err := selfMade([]string{"alder-yard.example"}, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "given.pem")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	for mode, want := range map[fs.FileMode]bool{0o600: false, 0o640: false, 0o644: true} {
		if err := os.Chmod(file, mode); err != nil {
			t.Fatal(err)
		}
		log := &lockedBuffer{}
		c := &certificate{cert: file, key: file, log: slog.New(slog.NewTextHandler(log, nil))}
		if _, err := c.open(); err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(log.String(), "everybody on this machine can read the key"); got != want {
			t.Errorf("with mode %v it is told: %v, want %v", mode, got, want)
		}
	}
}

// One that is damaged is named rather than replaced: a fingerprint that changes
// without a reason teaches people not to look.
func TestADamagedCertificateIsNamed(t *testing.T) {
	c := ownCertificate(t.TempDir(), "alder-pi")
	if err := os.MkdirAll(filepath.Dir(c.cert), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(c.cert, []byte("no certificate"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := c.open(); err == nil || !strings.Contains(err.Error(), c.cert+" is damaged: remove it") {
		t.Errorf("opening it gives %v", err)
	}
}

// A given certificate that was renewed is served without a restart; one that cannot
// be read then does not take the old one away.
func TestAGivenCertificateIsReadAgain(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "given.pem")
	give := func(at time.Time) {
		text, err := selfMade([]string{"alder-yard.example"}, at)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, text, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(file, at, at); err != nil {
			t.Fatal(err)
		}
	}
	synctest.Test(t, func(t *testing.T) {
		give(time.Now())
		c := &certificate{cert: file, key: file, log: slog.New(slog.DiscardHandler)}
		first := c.fingerprint()
		time.Sleep(lookEvery)
		give(time.Now())
		second := c.fingerprint()
		if second == first || second == "" {
			t.Errorf("after a renewal it is %q", second)
		}
		time.Sleep(lookEvery)
		if err := os.WriteFile(file, []byte("half a renewal"), 0o600); err != nil {
			t.Fatal(err)
		}
		if got := c.fingerprint(); got != second {
			t.Errorf("half a renewal makes it %q", got)
		}
	})
}

// A command takes the certificate of the site's own file and no other; nothing older
// than TLS 1.2 is spoken.
func TestACommandTrustsOneCertificate(t *testing.T) {
	ours, theirs := ownCertificate(t.TempDir(), "127.0.0.1"), ownCertificate(t.TempDir(), "127.0.0.1")
	serve := func(c *certificate) string {
		config, err := c.open()
		if err != nil {
			t.Fatal(err)
		}
		l, err := tls.Listen("tcp", "127.0.0.1:0", config)
		if err != nil {
			t.Fatal(err)
		}
		s := &http.Server{ErrorLog: slog.NewLogLogger(slog.DiscardHandler, slog.LevelError)}
		go func() { _ = s.Serve(l) }() // until the test ends
		t.Cleanup(func() { s.Close() })
		return l.Addr().String()
	}
	for why, c := range map[string]struct {
		address string
		want    bool
	}{"ours": {serve(ours), true}, "theirs": {serve(theirs), false}} {
		config, err := ours.trustOnly()
		if err != nil {
			t.Fatal(err)
		}
		conn, err := tls.DialWithDialer(&net.Dialer{Timeout: 10 * time.Second}, "tcp", c.address, config)
		if (err == nil) != c.want {
			t.Errorf("%s: %v", why, err)
		}
		if err == nil {
			conn.Close()
		}
	}
	old := &tls.Config{InsecureSkipVerify: true, MinVersion: tls.VersionTLS10, MaxVersion: tls.VersionTLS11}
	if conn, err := tls.Dial("tcp", serve(ours), old); err == nil {
		conn.Close()
		t.Error("TLS 1.1 is spoken")
	}
}

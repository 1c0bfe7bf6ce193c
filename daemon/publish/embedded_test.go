package publish

import (
	"crypto/tls"
	"crypto/x509"
	"log/slog"
	"net"
	"net/http/httptest"
	"strings"
	"testing"

	"bainward/rules/fold"
)

var quiet = slog.New(slog.DiscardHandler)

func TestAPortInUseIsSaidPlainly(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	_, err = StartBroker(BrokerOptions{Address: l.Addr().String(), Logger: quiet})
	if err == nil || !strings.Contains(err.Error(), "another program uses this port") || !strings.Contains(err.Error(), l.Addr().String()) {
		t.Errorf("error %v names neither the cause nor the address", err)
	}
}

func TestABrokerForEverybodyStaysOnThisComputer(t *testing.T) {
	for _, address := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.1:1883", "yard:1883"} {
		if b, err := StartBroker(BrokerOptions{Address: address, Logger: quiet}); err == nil {
			b.Close()
			t.Errorf("%s is served without an account", address)
		} else if !strings.Contains(err.Error(), "without an account") {
			t.Errorf("%s: error %v does not say why", address, err)
		}
	}
}

func TestOnlyTheAccountGetsIn(t *testing.T) {
	right := passwordFile(t, "p*ss w0rd\n")
	b, err := StartBroker(BrokerOptions{Address: "127.0.0.1:0", Username: "alder", PasswordFile: right, Logger: quiet})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	for name, o := range map[string]Options{
		"nobody":                  {},
		"another name":            {Username: "oak", PasswordFile: right},
		"another password":        {Username: "alder", PasswordFile: passwordFile(t, "pass w0rd")},
		"a password like another": {Username: "alder", PasswordFile: passwordFile(t, "p* w0rd")},
	} {
		o.URL, o.Site, o.Logger = b.URL(), "Alder Yard", quiet
		p, err := New(o)
		if err != nil {
			t.Fatal(err)
		}
		if l, err := p.dial(t.Context()); err == nil {
			l.end(true)
			t.Errorf("%s got in", name)
		}
	}
	p := publisher(t, b.Address(), func(o *Options) { o.Username, o.PasswordFile = "alder", right })
	await(t, "the account to get in", p.Connected)
	stop(t, p)
}

func TestABrokerBehindTLSIsReachedAndItsNameChecked(t *testing.T) {
	certificate, roots := selfSigned(t)
	l, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{Certificates: []tls.Certificate{certificate}, MinVersion: tls.VersionTLS12})
	if err != nil {
		t.Fatal(err)
	}
	b, err := serve(l, &door{open: true}, quiet)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	trusting := publisher(t, b.Address(), func(o *Options) {
		o.URL, o.TLS = "mqtts://"+b.Address(), &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS12}
	})
	await(t, "a connection over TLS", trusting.Connected)
	trusting.Announce([]fold.Snapshot{simmering()}, nil)
	stop(t, trusting)
	if n := trusting.outbox.waiting(); n != 0 {
		t.Errorf("%d messages were left unsent", n)
	}

	doubting, err := New(Options{URL: "mqtts://" + b.Address(), Site: "Alder Yard", Logger: quiet})
	if err != nil {
		t.Fatal(err)
	}
	if l, err := doubting.dial(t.Context()); err == nil {
		l.end(true)
		t.Error("a certificate that nobody vouches for is accepted")
	} else if !strings.Contains(err.Error(), "certificate") {
		t.Errorf("error %v does not say that it is the certificate", err)
	}
}

// selfSigned lends the certificate of Go's test server, which names 127.0.0.1.
func selfSigned(t *testing.T) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	s := httptest.NewTLSServer(nil)
	defer s.Close()
	roots := x509.NewCertPool()
	roots.AddCert(s.Certificate())
	return s.TLS.Certificates[0], roots
}

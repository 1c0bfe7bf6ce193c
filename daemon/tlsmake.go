package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"net"
	"slices"
	"time"
)

// How long a self-made certificate lasts: browsers refuse one that a person let in
// if it lasts longer than 825 days (from memory), and some take offence at more than
// 398. It is made anew a month before, so that nobody meets an expired one.
const (
	certificateLasts = 397 * 24 * time.Hour
	renewBefore      = 30 * 24 * time.Hour
	// backdated allows for a browser whose clock is behind.
	backdated = 24 * time.Hour
)

// selfMade returns a certificate and its key, PEM, for names, of which some may be
// addresses: ECDSA on P-256 (RFC 5480), signed by itself, for serving alone.
func selfMade(names []string, now time.Time) ([]byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("make a key for the pages: %w", err)
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120)) // RFC 5280, 4.1.2.2: up to 20 bytes
	if err != nil {
		return nil, fmt.Errorf("make a certificate for the pages: %w", err)
	}
	t := x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: "bainward, self-made"},
		NotBefore: now.Add(-backdated), NotAfter: now.Add(certificateLasts),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true,
	}
	for _, n := range names {
		if at := net.ParseIP(n); at != nil {
			t.IPAddresses = append(t.IPAddresses, at)
		} else if !slices.Contains(t.DNSNames, n) {
			t.DNSNames = append(t.DNSNames, n)
		}
	}
	der, err := x509.CreateCertificate(rand.Reader, &t, &t, key.Public(), key)
	if err != nil {
		return nil, fmt.Errorf("make a certificate for the pages: %w", err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, fmt.Errorf("make a key for the pages: %w", err)
	}
	var out bytes.Buffer
	for _, b := range []*pem.Block{{Type: "CERTIFICATE", Bytes: der}, {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := pem.Encode(&out, b); err != nil {
			return nil, fmt.Errorf("write a certificate for the pages: %w", err)
		}
	}
	return out.Bytes(), nil
}

// leafOf returns the first certificate of a PEM text, DER.
func leafOf(text []byte) ([]byte, error) {
	for {
		b, rest := pem.Decode(text)
		if b == nil {
			return nil, errors.New("no certificate is in it")
		}
		if b.Type == "CERTIFICATE" {
			return b.Bytes, nil
		}
		text = rest
	}
}

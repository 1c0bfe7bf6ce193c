package main

import (
	"bytes"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"bainward/daemon/site"
)

// certificate is what the pages are served with. It is read again when its file
// changes, so that a renewal needs no restart.
type certificate struct {
	cert, key string // PEM files; the same one if it is self-made
	names     []string
	selfMade  bool
	log       *slog.Logger

	mu     sync.Mutex
	now    *tls.Certificate
	read   time.Time // when its file was written
	looked time.Time
}

// certificateOf returns the certificate of a site that listens at listen and keeps
// its record in dir; nil if the pages are served in the clear.
func certificateOf(s *site.Site, listen, dir string, log *slog.Logger) *certificate {
	switch {
	case !s.TLS(listen):
		return nil
	case s.Door.Cert != "":
		return &certificate{cert: s.Door.Cert, key: s.Door.Key, log: log}
	}
	host, err := os.Hostname()
	if err != nil {
		host = "" // then it is known by its addresses
	}
	file := filepath.Join(dir, "tls", "self-made.pem")
	names := append(s.Names(host), "localhost")
	for _, at := range localAddresses() {
		names = append(names, at.String())
	}
	if u, err := url.Parse(s.Phone.Address); err == nil && net.ParseIP(u.Hostname()) != nil {
		names = append(names, u.Hostname())
	}
	return &certificate{cert: file, key: file, names: names, selfMade: true, log: log}
}

// localAddresses are those by which this machine is reached just now.
func localAddresses() []net.IP {
	all := []net.IP{net.IPv4(127, 0, 0, 1), net.IPv6loopback}
	found, err := net.InterfaceAddrs()
	if err != nil {
		return all // the certificate then lacks them, and browsers ask once more
	}
	for _, a := range found {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLoopback() && !n.IP.IsLinkLocalUnicast() {
			all = append(all, n.IP)
		}
	}
	return all
}

// open returns how to serve with the certificate, which is made if it is to be
// self-made and is not there. Go's defaults choose the ciphers.
func (c *certificate) open() (*tls.Config, error) {
	if _, err := c.get(nil); err != nil {
		return nil, err
	}
	return &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: c.get}, nil
}

// lookEvery is how often the file of the certificate is looked at, at most.
const lookEvery = time.Minute

// get returns the certificate for a connection. When a newer one cannot be read,
// the old one goes on, and the log says so.
func (c *certificate) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := time.Now()
	if c.now != nil && now.Sub(c.looked) < lookEvery {
		return c.now, nil
	}
	c.looked = now
	if err := c.refresh(now); err != nil {
		if c.now == nil {
			return nil, err
		}
		c.log.Error("the certificate of the pages cannot be renewed; the old one goes on", "error", err)
	}
	return c.now, nil
}

func (c *certificate) refresh(now time.Time) error {
	if c.selfMade {
		if err := c.makeIfDue(now); err != nil {
			return err
		}
	}
	info, err := os.Stat(c.cert)
	if err != nil {
		return fmt.Errorf("read the certificate of the pages: %w", err)
	}
	if c.now != nil && info.ModTime().Equal(c.read) {
		return nil
	}
	fresh, err := tls.LoadX509KeyPair(c.cert, c.key)
	if err != nil {
		return fmt.Errorf("read the certificate of the pages: %w: see tls_cert and tls_key under [door]", err)
	}
	if leaf := fresh.Leaf; now.After(leaf.NotAfter) {
		c.log.Error("the certificate of the pages has expired: browsers will refuse it", "file", c.cert, "on", leaf.NotAfter)
	}
	if key, err := os.Stat(c.key); err == nil && key.Mode().Perm()&0o007 != 0 {
		c.log.Warn("everybody on this machine can read the key of the pages' certificate, and pass for them: chmod 640 it", "file", c.key)
	}
	c.now, c.read = &fresh, info.ModTime()
	return nil
}

// makeIfDue makes the self-made certificate at the first start and before it expires.
func (c *certificate) makeIfDue(now time.Time) error {
	text, err := os.ReadFile(c.cert)
	switch {
	case err == nil:
		old, err := tls.X509KeyPair(text, text)
		if err != nil {
			return fmt.Errorf("read the self-made certificate: %s is damaged: remove it, and another is made", c.cert)
		}
		if left := old.Leaf.NotAfter.Sub(now); left > renewBefore {
			return nil
		}
		c.log.Warn("the self-made certificate is made anew before it expires: compare its fingerprint again")
	case !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("read the self-made certificate: %w", err)
	}
	made, err := selfMade(c.names, now)
	if err != nil {
		return err
	}
	return keepSecret(c.cert, made)
}

// keepSecret writes a file that is for its owner alone, whole or not at all.
func keepSecret(path string, text []byte) error {
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("keep the self-made certificate: %w", err)
	}
	f, err := os.CreateTemp(dir, filepath.Base(path)+".*") // mode 0600
	if err != nil {
		return fmt.Errorf("keep the self-made certificate: %w", err)
	}
	_, err = f.Write(text)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("keep the self-made certificate: %w", err), os.Remove(f.Name()))
	}
	return nil
}

// fingerprint is what a browser shows as the certificate's SHA-256.
func (c *certificate) fingerprint() string {
	now, err := c.get(nil)
	if err != nil {
		return ""
	}
	return fingerprintOf(now.Leaf)
}

func fingerprintOf(leaf *x509.Certificate) string {
	sum := sha256.Sum256(leaf.Raw)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}

// trustOnly is how a command of this machine asks the daemon: it takes no other
// certificate than the one of this site's file, whatever that is called.
func (c *certificate) trustOnly() (*tls.Config, error) {
	text, err := os.ReadFile(c.cert)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, errors.New("the pages have no certificate yet: no daemon was started with this record")
	}
	if err != nil {
		return nil, fmt.Errorf("read the certificate of the pages: %w: run this as the user of the daemon, or as root", err)
	}
	want, err := leafOf(text)
	if err != nil {
		return nil, fmt.Errorf("read the certificate of the pages: %s: %w", c.cert, err)
	}
	return &tls.Config{
		MinVersion: tls.VersionTLS12,
		// The name is not looked at: it is another than 127.0.0.1. The certificate
		// itself must be the one that we hold.
		InsecureSkipVerify: true,
		VerifyConnection: func(s tls.ConnectionState) error {
			if !bytes.Equal(s.PeerCertificates[0].Raw, want) {
				return fmt.Errorf("what answers shows another certificate than that in %s", c.cert)
			}
			return nil
		},
	}, nil
}

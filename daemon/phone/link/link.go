// Package link makes the links in messages with which a person answers an alarm
// without logging in.
//
// A link names one call, whom it was sent to and when it ends, and is signed
// (HMAC-SHA-256, RFC 2104) with a key that only this daemon has. Nothing is
// stored for it: a call that is answered cannot be answered again, so a link
// works once; and whoever guesses one must guess 128 bits.
package link

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Lasts is how long a link works. An alarm that nobody answers is sent again
// long before, with a new link.
const Lasts = 30 * time.Minute

const (
	keySize = 32
	macSize = 16 // half of SHA-256; RFC 2104 section 5 allows no less
	keyFile = "link-key"
)

// Desk makes and reads links.
type Desk struct{ key []byte }

// Open reads the key from its file in dir, and makes one at the first start.
func Open(dir string) (*Desk, error) {
	path := filepath.Join(dir, keyFile)
	key, err := os.ReadFile(path)
	switch {
	case err == nil && len(key) == keySize:
		return &Desk{key}, nil
	case err == nil:
		return nil, fmt.Errorf("open the key of the links: %s holds %d bytes, want %d: remove it, and a new one is made; links sent before then fail", path, len(key), keySize)
	case !errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("open the key of the links: %w", err)
	}
	return create(dir, path)
}

// create writes the key beside its place first, so that a power cut leaves a
// whole one or none.
func create(dir, path string) (*Desk, error) {
	key := make([]byte, keySize)
	if _, err := rand.Read(key); err != nil {
		return nil, fmt.Errorf("make the key of the links: %w", err)
	}
	f, err := os.CreateTemp(dir, keyFile+".*") // mode 0600
	if err != nil {
		return nil, fmt.Errorf("make the key of the links: %w", err)
	}
	_, err = f.Write(key)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("make the key of the links: %w", err), os.Remove(f.Name()))
	}
	return &Desk{key}, nil
}

// Ticket is what a link says.
type Ticket struct {
	Call    string // the call that it answers
	Contact string // whom it was sent to
	Ends    time.Time
}

// Make returns the token of a link: letters, digits, - and _.
func (d *Desk) Make(t Ticket) string {
	body := binary.BigEndian.AppendUint64(nil, uint64(t.Ends.Unix()))
	body = append(body, t.Call+"\x00"+t.Contact...)
	return base64.RawURLEncoding.EncodeToString(append(d.sign(body), body...))
}

// Errors of Read. They say nothing of the call.
var (
	ErrForeign = errors.New("this link was not made here, or was cut short: open the page instead")
	ErrEnded   = errors.New("this link has ended: open the page, or wait for the next message")
)

// longest is more than any token of ours.
const longest = 1024

// Read returns what a token says, if this daemon made it and it has not ended.
func (d *Desk) Read(token string, now time.Time) (Ticket, error) {
	if len(token) > longest {
		return Ticket{}, ErrForeign
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(token)
	if err != nil || len(raw) < macSize+8 || !hmac.Equal(raw[:macSize], d.sign(raw[macSize:])) {
		return Ticket{}, ErrForeign
	}
	body := raw[macSize:]
	call, contact, ok := strings.Cut(string(body[8:]), "\x00")
	if !ok {
		return Ticket{}, ErrForeign
	}
	t := Ticket{Call: call, Contact: contact, Ends: time.Unix(int64(binary.BigEndian.Uint64(body)), 0).UTC()}
	if !now.Before(t.Ends) {
		return Ticket{}, ErrEnded
	}
	return t, nil
}

func (d *Desk) sign(body []byte) []byte {
	mac := hmac.New(sha256.New, d.key)
	mac.Write([]byte("bainward link 1\x00"))
	mac.Write(body)
	return mac.Sum(nil)[:macSize]
}

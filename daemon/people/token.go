package people

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
)

// newToken is 256 bits that nobody guesses, in letters, digits, - and _.
func newToken() string {
	var b [32]byte
	_, _ = rand.Read(b[:]) // never fails: crypto/rand ends the program rather
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// sumOf is what is kept of a token: who reads it cannot come in by it.
func sumOf(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

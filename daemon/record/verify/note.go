package verify

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Notes are signed as C2SP signed-note says (github.com/C2SP/C2SP, signed-note.md):
// a text, an empty line, and one line for each signature.

// key is an Ed25519 verifier key.
type key struct {
	name   string
	id     uint32
	public ed25519.PublicKey
	text   string // as it was given
}

const algorithmEd25519 = 1

// parseKey reads NAME+ID+BASE64.
func parseKey(text string) (key, error) {
	name, rest, _ := strings.Cut(text, "+")
	id16, public64, ok := strings.Cut(rest, "+")
	if !ok {
		return key{}, fmt.Errorf("verifier key %q: want NAME+ID+KEY", text)
	}
	if err := checkName(name); err != nil {
		return key{}, fmt.Errorf("verifier key %q: %w", text, err)
	}
	id, err := hex.DecodeString(id16)
	if err != nil || len(id) != 4 {
		return key{}, fmt.Errorf("verifier key %q: want eight hexadecimal digits after the name", text)
	}
	data, err := base64.StdEncoding.Strict().DecodeString(public64)
	if err != nil || len(data) != 1+ed25519.PublicKeySize || data[0] != algorithmEd25519 {
		return key{}, fmt.Errorf("verifier key %q: its last part is no Ed25519 key", text)
	}
	k := key{name: name, id: binary.BigEndian.Uint32(id), public: data[1:], text: text}
	if want := keyID(name, data); want != k.id {
		return key{}, fmt.Errorf("verifier key %q: its ID should be %08x: it was mistyped", text, want)
	}
	return k, nil
}

// keyID is the first four bytes of SHA-256(name ‖ 0A ‖ algorithm ‖ key).
func keyID(name string, data []byte) uint32 {
	sum := sha256.Sum256(append([]byte(name+"\n"), data...))
	return binary.BigEndian.Uint32(sum[:4])
}

func checkName(name string) error {
	if name == "" || strings.ContainsAny(name, "+ \t\r\n\u00a0\u2003") || !utf8.ValidString(name) {
		return fmt.Errorf("%q is no name of a key", name)
	}
	return nil
}

// signature is one line under a note. What it signs is not yet known to be right.
type signature struct {
	name string
	id   uint32
	data []byte
}

// note is a signed text.
type note struct {
	text       string // with its last newline
	signatures []signature
}

const signatureMark = "— "

// parseNote takes a note apart. It verifies nothing.
func parseNote(signed string) (note, error) {
	for i, r := range signed {
		if r == utf8.RuneError && !strings.HasPrefix(signed[i:], "\uFFFD") || r < ' ' && r != '\n' {
			return note{}, errors.New("it holds what no signed note may")
		}
	}
	split := strings.LastIndex(signed, "\n\n")
	if split < 0 || !strings.HasSuffix(signed, "\n") {
		return note{}, errors.New("it is no signed note: want a text, an empty line and signatures, each line ended")
	}
	n := note{text: signed[:split+1]}
	lines := strings.Split(strings.TrimSuffix(signed[split+2:], "\n"), "\n")
	for _, line := range lines {
		s, err := parseSignature(line)
		if err != nil {
			return note{}, err
		}
		n.signatures = append(n.signatures, s)
	}
	return n, nil
}

func parseSignature(line string) (signature, error) {
	rest, ok := strings.CutPrefix(line, signatureMark)
	name, text, two := strings.Cut(rest, " ")
	if !ok || !two || checkName(name) != nil {
		return signature{}, fmt.Errorf("%q is no line of a signature", line)
	}
	data, err := base64.StdEncoding.Strict().DecodeString(text)
	if err != nil || len(data) < 5 {
		return signature{}, fmt.Errorf("%q is no line of a signature", line)
	}
	return signature{name: name, id: binary.BigEndian.Uint32(data), data: data[4:]}, nil
}

// by returns the note's signature under the name and ID of k, if there is one.
func (n note) by(k key) (signature, bool) {
	for _, s := range n.signatures {
		if s.name == k.name && s.id == k.id {
			return s, true
		}
	}
	return signature{}, false
}

// signers lists the names under a note.
func (n note) signers() string {
	names := make([]string, 0, len(n.signatures))
	for _, s := range n.signatures {
		names = append(names, fmt.Sprintf("%s (%08x)", s.name, s.id))
	}
	return strings.Join(names, ", ")
}

// signed reports whether k signed the note, and whether it carries a signature
// that says so.
func (n note) signed(k key) (right, claims bool) {
	s, ok := n.by(k)
	if !ok {
		return false, false
	}
	return len(s.data) == ed25519.SignatureSize && ed25519.Verify(k.public, []byte(n.text), s.data), true
}

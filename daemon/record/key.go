package record

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"database/sql"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"

	"golang.org/x/mod/sumdb/note"
)

// KindKey is the kind of a Key.
const KindKey Kind = "key"

// Key is the public key of all checkpoints from here on. Append makes the key of
// one that is empty: the first of the record, or a new one that the key before
// it vouches for. The private key lies beside the record (keyfile.go).
type Key struct {
	VKey string `json:"vkey"`         // name+hash+base64, as package note has it
	By   string `json:"by,omitempty"` // name of the key before it
	// Signature is a note signed by that key: "next key\n<vkey>\n".
	Signature string `json:"signature,omitempty"`
	Who       string `json:"who,omitempty"` // who asked for it; empty: the daemon, as it had none
}

// Kind returns KindKey.
func (Key) Kind() Kind { return KindKey }

func (b Key) check() error {
	if b == (Key{Who: b.Who}) {
		return nil // to be made by Append
	}
	if _, err := note.NewVerifier(b.VKey); err != nil {
		return fmt.Errorf("%q is no public key: %w", b.VKey, err)
	}
	return nil
}

// RotateKey appends a new key that who asked for, for which the one before it
// vouches if it is held, and returns the entry. From the next checkpoint on only the new key counts.
func (r *Record) RotateKey(ctx context.Context, at time.Duration, wall time.Time, who string) (Entry, error) {
	return r.appendOne(ctx, at, wall, Key{Who: who})
}

// signingKey is a private key, with the public one to it.
type signingKey struct {
	signer note.Signer
	public string // empty: there is no key
}

// makeKey makes a key of that name and returns it with its private text.
func makeKey(name string) (signingKey, string, error) {
	private, public, err := note.GenerateKey(rand.Reader, name)
	if err != nil {
		return signingKey{}, "", fmt.Errorf("make a signing key: %w", err)
	}
	signer, err := note.NewSigner(private)
	return signingKey{signer, public}, private, err
}

// parseKey reads a private key in the form of note.GenerateKey. Its errors do
// not show it.
func parseKey(private string) (signingKey, error) {
	private = strings.TrimSpace(private)
	signer, err := note.NewSigner(private)
	if err != nil {
		return signingKey{}, errors.New("it is not a signing key that this program made")
	}
	// What comes after the last + is base64, and may hold one itself.
	parts := strings.SplitN(private, "+", 5)
	seed, err := base64.StdEncoding.DecodeString(parts[4])
	if err != nil {
		return signingKey{}, errors.New("it is not a signing key that this program made")
	}
	public := ed25519.NewKeyFromSeed(seed[1:]).Public().(ed25519.PublicKey)
	text, err := note.NewEd25519VerifierKey(signer.Name(), public)
	return signingKey{signer, text}, err
}

// keyName returns a name for the key of a record, which is also its origin:
// some words for people, and chance enough that no two records share it.
func keyName(site string) string {
	words := strings.FieldsFunc(strings.ToLower(site), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(words) == 0 {
		words = []string{"site"}
	}
	var chance [4]byte
	rand.Read(chance[:]) // never fails
	return "bainward/" + strings.Join(words, "-") + "/" + hex.EncodeToString(chance[:])
}

// signNext lets a key vouch for the one after it.
func (k signingKey) signNext(public string) (string, error) {
	signed, err := note.Sign(&note.Note{Text: "next key\n" + public + "\n"}, k.signer)
	return string(signed), err
}

// fillIn makes what only the record can: the body of an empty Key, and the note
// of a Checkpoint.
func (r *Record) fillIn(t *tail, e *Entry) error {
	var body Body
	switch e.Kind {
	case KindKey:
		var b Key
		if err := e.Decode(&b); err != nil {
			return err
		}
		next, err := r.nextKey(t)
		if err != nil {
			return err
		}
		next.Who = b.Who
		body = next
	case KindCheckpoint:
		var b Checkpoint
		if err := e.Decode(&b); err != nil {
			return err
		}
		signed, err := r.signCheckpoint(t, e, b.Why)
		if err != nil {
			return err
		}
		body = signed
	default:
		return nil
	}
	text, err := json.Marshal(body)
	e.Body = text
	return err
}

// nextKey makes the body of the next Key. Its private key waits beside the
// record until the entry is on disk: see holdKey.
func (r *Record) nextKey(t *tail) (Key, error) {
	name := keyName(r.site)
	before, held := r.keyAt(t)
	if held {
		name = before.signer.Name() // one record, one origin
	}
	next, err := r.waitingKey(name)
	if err != nil {
		return Key{}, err
	}
	t.key, t.next = next.public, next
	b := Key{VKey: next.public}
	if held {
		b.By = name
		b.Signature, err = before.signNext(b.VKey)
	}
	return b, err
}

// keyAt returns the private key to the last Key up to t.
func (r *Record) keyAt(t *tail) (key signingKey, held bool) {
	key = r.key
	if t.next.public != "" {
		key = t.next
	}
	return key, key.public != "" && key.public == t.key
}

// readKey returns the last public key that was recorded; empty if none was.
func readKey(ctx context.Context, c *sql.Conn) (string, error) {
	var text string
	err := c.QueryRowContext(ctx, "SELECT body FROM entry WHERE kind = ? AND bath IS NULL ORDER BY seq DESC LIMIT 1", string(KindKey)).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	var b Key
	if err == nil {
		err = Entry{Kind: KindKey, Body: json.RawMessage(text)}.Decode(&b)
	}
	if err != nil {
		return "", fmt.Errorf("read the record's public key: %w", err)
	}
	return b.VKey, nil
}

package witness

import (
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// Seen is a checkpoint that was believed.
type Seen struct {
	Key  string    `json:"key"`  // the verifier key, as C2SP writes it
	Size int64     `json:"size"` // leaves
	Root tlog.Hash `json:"root"`
	Note string    `json:"note"` // the checkpoint as it was signed
}

// Said is what a site says of its record at a broker.
type Said struct {
	Note string `json:"note"` // the newest checkpoint, signed
	Key  string `json:"key"`  // the key that signed it
	// Handed are the keys handed over since the record began, oldest first.
	Handed []Handing `json:"handed,omitempty"`
	// Grown proves of sizes of older checkpoints that they are a beginning of this one.
	Grown []Growth `json:"grown,omitempty"`
}

// Handing is a key handing over to the next: the old key's note over
// "next key\n" and the new key.
type Handing struct {
	From string `json:"from"`
	To   string `json:"to"`
	Note string `json:"note"`
}

// Growth is a proof of consistency after RFC 6962, 2.1.2.
type Growth struct {
	From  int64       `json:"from"`
	Proof []tlog.Hash `json:"proof"`
}

// MaxGrown is how many older checkpoints a site proves its newest against. With
// one an hour, a witness may be away for a day.
const MaxGrown = 24

// A RewrittenError says that a record is not what it was: what was held elsewhere
// is no beginning of it.
type RewrittenError struct {
	Held, Now int64 // leaves
	Why       string
}

func (e *RewrittenError) Error() string {
	return fmt.Sprintf("the record was rewritten: the checkpoint of %d leaves that is held here is no beginning of the one of %d leaves shown now: %s", e.Held, e.Now, e.Why)
}

// ErrGap says that nothing shows how a checkpoint follows from the one held. It
// may only have been a long time.
var ErrGap = errors.New("no proof from the checkpoint that is held here: its witness was away for too long, or something is hidden")

// Peer is what a witness holds of one site. The zero Peer holds nothing yet.
type Peer struct{ Seen Seen }

// Hear looks at what a site says and returns the Peer that holds it, or p itself
// if it says nothing new. The error is a *RewrittenError where the record is not
// what it was, ErrGap where that cannot be known, and another where what was
// said makes no sense. With an error p is what goes on to be held.
func (p Peer) Hear(said Said) (Peer, error) {
	key := said.Key
	size, root, err := open(said.Note, key)
	if err != nil {
		return p, err
	}
	if p.Seen.Size == 0 {
		return Peer{Seen{key, size, root, said.Note}}, nil
	}
	if err := follows(p.Seen.Key, key, said.Handed); err != nil {
		return p, &RewrittenError{p.Seen.Size, size, err.Error()}
	}
	switch {
	case size == p.Seen.Size && root == p.Seen.Root:
		return p, nil
	case size < p.Seen.Size:
		return p, &RewrittenError{p.Seen.Size, size, "it became shorter"}
	case size == p.Seen.Size:
		return p, &RewrittenError{p.Seen.Size, size, "it is as long, and differs"}
	}
	for _, g := range said.Grown {
		if g.From != p.Seen.Size {
			continue
		}
		if err := tlog.CheckTree(g.Proof, size, root, p.Seen.Size, p.Seen.Root); err != nil {
			return p, &RewrittenError{p.Seen.Size, size, "its proof does not hold"}
		}
		return Peer{Seen{key, size, root, said.Note}}, nil
	}
	return p, ErrGap
}

// follows reports why key is not the held key's successor; nil if it is the same.
func follows(held, key string, handed []Handing) error {
	for _, h := range handed {
		if held == key {
			break
		}
		if h.From != held {
			continue
		}
		v, err := note.NewVerifier(h.From)
		if err != nil {
			return fmt.Errorf("key %q: %w", h.From, err)
		}
		n, err := note.Open([]byte(h.Note), note.VerifierList(v))
		if err != nil || n.Text != "next key\n"+h.To+"\n" {
			return fmt.Errorf("the key %q did not sign that %q takes over", h.From, h.To)
		}
		held = h.To
	}
	if held != key {
		return fmt.Errorf("it is signed by %q, and the key held here, %q, never handed over to that", key, held)
	}
	return nil
}

// open checks the signature of a checkpoint and takes it apart.
func open(text, key string) (size int64, root tlog.Hash, err error) {
	v, err := note.NewVerifier(key)
	if err != nil {
		return 0, root, fmt.Errorf("read the key %q: %w", key, err)
	}
	n, err := note.Open([]byte(text), note.VerifierList(v))
	if err != nil {
		return 0, root, fmt.Errorf("read a checkpoint: %w", err)
	}
	lines := strings.SplitN(n.Text, "\n", 4)
	if len(lines) < 4 || lines[0] != v.Name() {
		return 0, root, fmt.Errorf("read a checkpoint of %q: it has no origin, size and root", v.Name())
	}
	size, err = strconv.ParseInt(lines[1], 10, 64)
	if err != nil || size < 0 || strconv.FormatInt(size, 10) != lines[1] {
		return 0, root, fmt.Errorf("read a checkpoint of %q: size %q is no count", v.Name(), lines[1])
	}
	if root, err = tlog.ParseHash(lines[2]); err != nil {
		return 0, root, fmt.Errorf("read a checkpoint of %q: %w", v.Name(), err)
	}
	return size, root, nil
}

// Cosign returns the note of a checkpoint with the signature of s beside the
// site's own.
func Cosign(seen Seen, s note.Signer) (string, error) {
	v, err := note.NewVerifier(seen.Key)
	if err != nil {
		return "", fmt.Errorf("cosign: read the key %q: %w", seen.Key, err)
	}
	n, err := note.Open([]byte(seen.Note), note.VerifierList(v))
	if err != nil {
		return "", fmt.Errorf("cosign: %w", err)
	}
	signed, err := note.Sign(n, s)
	if err != nil {
		return "", fmt.Errorf("cosign: %w", err)
	}
	return string(signed), nil
}

// CheckCosigned reports why text is not a checkpoint that key signed; nil if it is.
func CheckCosigned(text, key string) error {
	v, err := note.NewVerifier(key)
	if err != nil {
		return fmt.Errorf("read a cosignature: key %q: %w", key, err)
	}
	if _, err := note.Open([]byte(text), note.VerifierList(v)); err != nil {
		return fmt.Errorf("read a cosignature: %w", err)
	}
	return nil
}

// Encode writes what a site says as one JSON document.
func (s Said) Encode() ([]byte, error) {
	b, err := json.Marshal(s)
	if err != nil {
		return nil, fmt.Errorf("write what is said of a record: %w", err)
	}
	return b, nil
}

// maxSaid bounds what is read from a broker.
const maxSaid = 1 << 18

// Parse reads what Encode writes.
func Parse(text []byte) (Said, error) {
	var s Said
	if len(text) > maxSaid {
		return s, fmt.Errorf("read what is said of a record: %d bytes are too many", len(text))
	}
	if err := json.Unmarshal(text, &s); err != nil {
		return s, fmt.Errorf("read what is said of a record: %w", err)
	}
	return s, nil
}

// Short is the beginning of a root, for people to compare.
func Short(h tlog.Hash) string { return hex.EncodeToString(h[:8]) }

package witness_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"bainward/daemon/witness"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// site is an invented record: a tree whose leaves are texts, and the key that
// signs it.
type site struct {
	t      *testing.T
	signer note.Signer
	key    string
	hashes []tlog.Hash
	leaves int64
	handed []witness.Handing
}

func newSite(t *testing.T) *site {
	t.Helper()
	s := &site{t: t}
	s.takeKey()
	return s
}

func (s *site) takeKey() {
	s.t.Helper()
	secret, public, err := note.GenerateKey(nil, "bainward/alder-yard/0123abcd")
	if err != nil {
		s.t.Fatal(err)
	}
	if s.signer, err = note.NewSigner(secret); err != nil {
		s.t.Fatal(err)
	}
	s.key = public
}

// handOver takes a new key that the old one signs.
func (s *site) handOver() {
	s.t.Helper()
	old, signer := s.key, s.signer
	s.takeKey()
	n, err := note.Sign(&note.Note{Text: "next key\n" + s.key + "\n"}, signer)
	if err != nil {
		s.t.Fatal(err)
	}
	s.handed = append(s.handed, witness.Handing{From: old, To: s.key, Note: string(n)})
}

func (s *site) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	var out []tlog.Hash
	for _, i := range indexes {
		out = append(out, s.hashes[i])
	}
	return out, nil
}

// grow appends leaves up to size; what makes them another record's.
func (s *site) grow(size int64, what string) *site {
	s.t.Helper()
	for ; s.leaves < size; s.leaves++ {
		h, err := tlog.StoredHashes(s.leaves, fmt.Appendf(nil, "%s %d", what, s.leaves), s)
		if err != nil {
			s.t.Fatal(err)
		}
		s.hashes = append(s.hashes, h...)
	}
	return s
}

// says is the checkpoint of now, proven against older ones.
func (s *site) says(from ...int64) witness.Said {
	s.t.Helper()
	root, err := tlog.TreeHash(s.leaves, s)
	if err != nil {
		s.t.Fatal(err)
	}
	text := fmt.Sprintf("%s\n%d\n%s\nseq 7\n", s.signer.Name(), s.leaves, root)
	n, err := note.Sign(&note.Note{Text: text}, s.signer)
	if err != nil {
		s.t.Fatal(err)
	}
	said := witness.Said{Note: string(n), Key: s.key, Handed: s.handed}
	for _, f := range from {
		proof, err := tlog.ProveTree(s.leaves, f, s)
		if err != nil {
			s.t.Fatal(err)
		}
		said.Grown = append(said.Grown, witness.Growth{From: f, Proof: proof})
	}
	return said
}

// hear lets a peer hear what must make sense to it.
func hear(t *testing.T, p witness.Peer, said witness.Said) witness.Peer {
	t.Helper()
	text, err := said.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if said, err = witness.Parse(text); err != nil {
		t.Fatal(err)
	}
	after, err := p.Hear(said)
	if err != nil {
		t.Fatal(err)
	}
	return after
}

// A record that only grows is followed from checkpoint to checkpoint.
func TestARecordThatGrowsIsFollowed(t *testing.T) {
	s := newSite(t)
	p := hear(t, witness.Peer{}, s.grow(3, "entry").says())
	for size := int64(4); size < 70; size += 3 {
		before := p.Seen.Size
		p = hear(t, p, s.grow(size, "entry").says(before-min(before, 1), before))
		if p.Seen.Size != size {
			t.Fatalf("%d leaves are held, want %d", p.Seen.Size, size)
		}
	}
	if again := hear(t, p, s.says()); again != p {
		t.Error("the same checkpoint changed what is held")
	}
}

// A record that was rewritten, shortened or replaced by an old copy is found out,
// and what was held goes on to be held.
func TestARewrittenRecordIsFoundOut(t *testing.T) {
	honest := newSite(t).grow(40, "entry")
	p := hear(t, witness.Peer{}, honest.says())
	other := &site{t: t, signer: honest.signer, key: honest.key}
	for name, said := range map[string]witness.Said{
		"rewritten and longer":  other.grow(50, "other").says(40),
		"rewritten, as long":    (&site{t: t, signer: honest.signer, key: honest.key}).grow(40, "other").says(),
		"an old copy":           (&site{t: t, signer: honest.signer, key: honest.key}).grow(30, "entry").says(),
		"signed by another key": newSite(t).grow(41, "entry").says(40),
	} {
		after, err := p.Hear(said)
		if rewritten := (*witness.RewrittenError)(nil); !errors.As(err, &rewritten) {
			t.Errorf("%s: %v, want a RewrittenError", name, err)
		}
		if after != p {
			t.Errorf("%s: what is held changed", name)
		}
	}
	if _, err := p.Hear(honest.grow(50, "entry").says(39)); !errors.Is(err, witness.ErrGap) {
		t.Errorf("no proof from the held checkpoint: %v, want ErrGap", err)
	}
}

// A key may hand over to the next, and nobody can say that it did.
func TestAKeyHandsOver(t *testing.T) {
	s := newSite(t).grow(5, "entry")
	p := hear(t, witness.Peer{}, s.says())
	s.handOver()
	s.handOver()
	p = hear(t, p, s.grow(9, "entry").says(5))
	if p.Seen.Key != s.key {
		t.Errorf("held key %q, want the newest %q", p.Seen.Key, s.key)
	}
	s.handOver()
	said := s.grow(12, "entry").says(9)
	said.Handed[2].Note = said.Handed[1].Note
	if _, err := p.Hear(said); err == nil || !strings.Contains(err.Error(), "did not sign") {
		t.Errorf("a forged handing over: %v", err)
	}
}

// A cosignature is by the key that is expected, and of the checkpoint as it was.
func TestACosignatureIsCheckedByItsKey(t *testing.T) {
	s, other := newSite(t).grow(5, "entry"), newSite(t)
	p := hear(t, witness.Peer{}, s.says())
	text, err := witness.Cosign(p.Seen, other.signer)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{s.key, other.key} { // both signatures are there
		if err := witness.CheckCosigned(text, key); err != nil {
			t.Error(err)
		}
	}
	if err := witness.CheckCosigned(text, newSite(t).key); err == nil {
		t.Error("another key passed")
	}
	if err := witness.CheckCosigned(strings.Replace(text, "\n5\n", "\n6\n", 1), other.key); err == nil {
		t.Error("another size passed")
	}
}

// What a broker says in error is refused, and does no harm.
func TestNonsenseIsRefused(t *testing.T) {
	good := newSite(t).grow(5, "entry").says()
	for name, said := range map[string]witness.Said{
		"nothing":    {},
		"no key":     {Note: good.Note},
		"bad key":    {Note: good.Note, Key: "key"},
		"bad note":   {Note: "note\n", Key: good.Key},
		"one number": {Note: strings.Replace(good.Note, "\n5\n", "\n6\n", 1), Key: good.Key},
	} {
		if p, err := (witness.Peer{}).Hear(said); err == nil || p != (witness.Peer{}) {
			t.Errorf("%s was believed: %+v, %v", name, p, err)
		}
	}
	if _, err := witness.Parse([]byte(strings.Repeat(" ", 1<<19))); err == nil {
		t.Error("half a megabyte was read")
	}
}

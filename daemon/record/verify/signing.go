package verify

import (
	"encoding/json"
	"fmt"
)

// signing is what was signed: who may sign, the checkpoints so far, and the
// checkpoints from elsewhere that the tree will be held against.
type signing struct {
	found     *findings
	given     key // that the record should be signed with; without text: not said
	witnesses []key
	held      []Held
	chain     []link
	last      checkpoint // of the record
	has       bool       // last is one
	wanted    map[int64]*peak
	cosigners map[string]*cosigner // by key
}

// link is a key of the record.
type link struct {
	key
	vouched bool  // the key before it signed it
	upTo    int64 // leaves under its last checkpoint
}

// inForce returns the key that must have signed now.
func (s *signing) inForce() (key, bool) {
	if len(s.chain) == 0 {
		return key{}, false
	}
	return s.chain[len(s.chain)-1].key, true
}

// keys lists the keys of the record, the first first.
func (s *signing) keys() []key {
	keys := make([]key, 0, len(s.chain))
	for _, l := range s.chain {
		keys = append(keys, l.key)
	}
	return keys
}

// grew remembers the root if somebody holds a checkpoint of this size.
func (s *signing) grew(t *tree) {
	if p, ok := s.wanted[t.size]; ok {
		*p = t.roots()
	}
}

// take looks at an entry about keys and signatures, before its own leaf counts.
func (s *signing) take(e *entryRow, a *auditor) {
	var err error
	switch e.kind {
	case "key":
		err = s.takeKey(e)
	case "checkpoint":
		err = s.takeCheckpoint(e, a)
	case "cosignature", "signature", "witness":
		err = s.takeBound(e)
	}
	if err != nil {
		s.found.add(s.about(e, UnreadableLine, "", err.Error()))
	}
}

func (s *signing) about(e *entryRow, k Kind, expected, found string) Finding {
	return Finding{Kind: k, Entry: e.seq, Leaf: number(e.leaf), Expected: expected, Found: found}
}

// takeKey takes the first key of a record, or the next, which the one before must
// have signed.
func (s *signing) takeKey(e *entryRow) error {
	var body struct{ VKey, By, Signature string }
	if err := json.Unmarshal(e.body, &body); err != nil {
		return err
	}
	next, err := parseKey(body.VKey)
	if err != nil {
		return err
	}
	l := link{key: next}
	if before, ok := s.inForce(); ok {
		why := rotates(before, next, body.By, body.Signature)
		if l.vouched = why == ""; !l.vouched {
			s.found.add(s.about(e, KeyRotation, fmt.Sprintf("a new key signed by %s (%08x)", before.name, before.id), why))
		}
	}
	s.chain = append(s.chain, l)
	return nil
}

// rotates says what is wrong with the words by which a key hands over to the next.
func rotates(before, next key, by, signed string) string {
	if signed == "" {
		return next.text + ", which nobody signed"
	}
	if by != before.name {
		return fmt.Sprintf("%s, which %q is said to have signed", next.text, by)
	}
	n, err := parseNote(signed)
	if err != nil {
		return fmt.Sprintf("%s, and of what should be its signature: %v", next.text, err)
	}
	if want := "next key\n" + next.text + "\n"; n.text != want {
		return fmt.Sprintf("%s, but signed was %q", next.text, n.text)
	}
	switch right, claims := n.signed(before); {
	case !claims:
		return fmt.Sprintf("%s, signed by %s", next.text, n.signers())
	case !right:
		return next.text + ", with a signature that is wrong"
	}
	return ""
}

// takeCheckpoint holds a checkpoint of the record against the tree before it.
func (s *signing) takeCheckpoint(e *entryRow, a *auditor) error {
	var body struct{ Note string }
	if err := json.Unmarshal(e.body, &body); err != nil {
		return err
	}
	n, err := parseNote(body.Note)
	if err != nil {
		return err
	}
	c, err := parseCheckpoint(n.text)
	if err != nil {
		return err
	}
	s.checkSize(e, c, a)
	if roots := a.tree.roots(); c.size == a.tree.size && c.root != roots.lines {
		f := s.about(e, CheckpointRoot, "a tree whose root is "+c.root.String(), "one whose root is "+roots.lines.String())
		if c.root == roots.kept {
			f.Means = "The kept hashes are those that were signed: lines before this checkpoint were changed after it."
		}
		s.found.add(f)
	}
	s.checkSigner(e, n, c)
	s.last, s.has = c, true
	return nil
}

func (s *signing) checkSize(e *entryRow, c checkpoint, a *auditor) {
	switch {
	case c.size != e.leaf:
		s.found.add(s.about(e, CheckpointSize, fmt.Sprintf("a checkpoint of the %d leaves before it", e.leaf), fmt.Sprintf("one of %d", c.size)))
	case c.seq != e.seq-1:
		s.found.add(s.about(e, CheckpointSize, fmt.Sprintf("a checkpoint up to entry %d", e.seq-1), fmt.Sprintf("one up to entry %d", c.seq)))
	case s.has && (c.atMS < s.last.atMS || c.size <= s.last.size):
		s.found.add(s.about(e, CheckpointSize, fmt.Sprintf("a checkpoint after that of %d leaves at offset %v", s.last.size, millis(s.last.atMS)),
			fmt.Sprintf("one of %d leaves at offset %v", c.size, millis(c.atMS))))
	case a.sealed != e.seq-1 && !a.astray:
		a.astray = true // said once
		s.found.add(s.about(e, CheckpointSize, fmt.Sprintf("all of %d entries under it", e.seq-1), fmt.Sprintf("%d of them", a.sealed)))
	}
}

func (s *signing) checkSigner(e *entryRow, n note, c checkpoint) {
	k, ok := s.inForce()
	if !ok {
		s.found.add(s.about(e, UnknownKey, "a key before the first checkpoint", "a checkpoint signed by "+n.signers()))
		return
	}
	switch right, claims := n.signed(k); {
	case !claims:
		s.found.add(s.about(e, UnknownKey, fmt.Sprintf("a checkpoint signed by %s (%08x)", k.name, k.id), "one signed by "+n.signers()))
	case !right:
		s.found.add(s.about(e, CheckpointSignature, "a signature of "+k.name+" over this checkpoint", "a signature over something else, or none of that key"))
	default:
		s.chain[len(s.chain)-1].upTo = c.size
	}
	if c.origin != k.name {
		s.found.add(s.about(e, CheckpointSignature, "a checkpoint of "+k.name, "one that calls itself "+c.origin))
	}
}

// settleKey holds the key that should have signed against those that did.
func (s *signing) settleKey(size int64) []Note {
	if s.given.text == "" {
		if len(s.chain) == 0 {
			return []Note{{AboutKey, "nothing in this record is signed: it has no key."}}
		}
		return []Note{{AboutKey, "the record names its own key: compare it with what you were told, or give that with --key: " + s.chain[len(s.chain)-1].text}}
	}
	upTo, in := int64(0), false
	for _, l := range s.chain {
		in = l.text == s.given.text || in && l.vouched
		if in {
			upTo = max(upTo, l.upTo)
		}
	}
	if upTo > 0 {
		return []Note{{AboutKey, fmt.Sprintf("the key that you gave vouches for %d of %d leaves.", upTo, size)}}
	}
	found := "nothing signed"
	if k, ok := s.inForce(); ok {
		found = "signed with " + k.text
	}
	s.found.add(Finding{Kind: UnknownKey, Expected: "checkpoints signed with " + s.given.text, Found: found,
		Means: "No checkpoint here was signed with the key that you hold, nor with one that it handed over to: somebody else wrote this record."})
	return nil
}

// settleTail says how much came after the last checkpoint.
func (s *signing) settleTail(size int64) []Note {
	covered := int64(0)
	if s.has {
		covered = s.last.size + 1 // it covers what is before it; it itself is signed
	}
	if !s.has || size <= covered {
		return nil
	}
	return []Note{{AboutTail, fmt.Sprintf("%d leaves came after the last checkpoint: the tree holds them together, but nobody has signed them yet.", size-covered)}}
}

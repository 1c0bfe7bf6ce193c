package verify

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
)

// cosigner is somebody else who signed checkpoints of this record.
type cosigner struct {
	who   string
	known bool // its key was given from outside
	times int
	upTo  int64 // leaves under the greatest of them
}

// bound is what an entry that rests on a checkpoint says of it.
type bound struct {
	Site, By, Key, Note, Fault string
	Size                       int64
	Root                       string
}

// takeBound looks at an entry that rests on a checkpoint: of this record one that
// somebody else signed (cosignature) or under which a person signed (signature),
// or one of another record (witness).
func (s *signing) takeBound(e *entryRow) error {
	var b bound
	if err := json.Unmarshal(e.body, &b); err != nil {
		return err
	}
	if e.kind == "witness" && b.Fault != "" {
		return nil // it was not believed, and said so
	}
	root, err := parseRoot(b.Root)
	if err != nil {
		return err
	}
	if e.kind != "witness" && !s.onTree(e, b.Size, root) || e.kind == "signature" {
		return nil
	}
	k, err := parseKey(b.Key)
	if err != nil {
		return err
	}
	n, err := parseNote(b.Note)
	if err != nil {
		return err
	}
	c, err := parseCheckpoint(n.text)
	if err != nil {
		return err
	}
	if right, _ := n.signed(k); !right || c.size != b.Size || c.root != root {
		s.found.add(s.about(e, CheckpointSignature, fmt.Sprintf("a checkpoint of %d leaves that %s signed", b.Size, k.name), "a note that does not say so"))
		return nil
	}
	if e.kind == "cosignature" {
		s.cosigned(k, b)
	}
	return nil
}

// onTree reports whether a root that an entry rests on is on the tree before it.
func (s *signing) onTree(e *entryRow, size int64, root hash) bool {
	at, ok := s.wanted[size]
	switch {
	case size > e.leaf:
		s.found.add(s.about(e, CheckpointSize, fmt.Sprintf("a checkpoint of at most the %d leaves before it", e.leaf), fmt.Sprintf("one of %d", size)))
	case !ok || at.lines != root:
		f := s.about(e, AnotherHistory, fmt.Sprintf("over %d leaves the root %s", size, root), "another")
		if ok {
			f.Found = "the root " + at.lines.String()
		}
		f.Means = "What somebody else signed is not this record: it was rewritten since, or never was."
		s.found.add(f)
	default:
		return true
	}
	return false
}

func (s *signing) cosigned(k key, b bound) {
	c := s.cosigners[k.text]
	if c == nil {
		c = &cosigner{who: b.Site + " (" + k.name + ")"}
		for _, w := range s.witnesses {
			c.known = c.known || w.text == k.text
		}
		s.cosigners[k.text] = c
	}
	c.times++
	c.upTo = max(c.upTo, b.Size)
}

// settleCosigned says who else signed.
func (s *signing) settleCosigned() []Note {
	var notes []Note
	for _, text := range slices.Sorted(maps.Keys(s.cosigners)) {
		c := s.cosigners[text]
		said := fmt.Sprintf("%s signed %d checkpoints, the last over %d leaves", c.who, c.times, c.upTo)
		if c.known {
			said += "; its key is one that you gave: up to there the record is as it was seen from outside."
		} else {
			said += "; its key is known from this record alone (give it with --witness once you had it from there): " + text
		}
		notes = append(notes, Note{AboutCosignature, said})
	}
	return notes
}

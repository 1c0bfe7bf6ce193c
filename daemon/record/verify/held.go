package verify

import (
	"fmt"
	"slices"
	"strings"
)

// Held is a checkpoint that was kept outside the record: in a file, on paper, on
// another machine. Make it with ParseHeld or HeldOf.
type Held struct {
	from string
	checkpoint
	note note // without signatures if it was typed in
}

// ParseHeld reads a signed checkpoint (C2SP tlog-checkpoint) as it was kept; from
// names where, for people. Empty lines around it, and line ends of another system,
// come from keeping it and do no harm.
func ParseHeld(from, text string) (Held, error) {
	n, err := parseNote(strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n")) + "\n")
	if err != nil {
		return Held{}, fmt.Errorf("read the checkpoint of %s: %w", from, err)
	}
	c, err := parseCheckpoint(n.text)
	if err != nil {
		return Held{}, fmt.Errorf("read the checkpoint of %s: %w", from, err)
	}
	return Held{from: from, checkpoint: c, note: n}, nil
}

// HeldOf is a checkpoint typed in from paper: how many leaves, and the root in
// base64.
func HeldOf(from string, size int64, root string) (Held, error) {
	r, err := parseRoot(strings.TrimSpace(root))
	if err == nil && size < 0 {
		err = fmt.Errorf("%d is no number of leaves", size)
	}
	if err != nil {
		return Held{}, fmt.Errorf("read the checkpoint of %s: %w", from, err)
	}
	return Held{from: from, checkpoint: checkpoint{size: size, root: r, seq: -1}}, nil
}

// want has the roots of these sizes remembered as the tree grows.
func (s *signing) want(size int64) {
	if s.wanted[size] == nil {
		s.wanted[size] = &peak{}
	}
}

// settleHeld holds what was kept elsewhere against the tree of size leaves, and
// returns what to say of what fits.
func (s *signing) settleHeld(size int64) []Note {
	var notes []Note
	for _, h := range s.held {
		if s.heldFits(h, size) {
			text := fmt.Sprintf("the checkpoint of %s is on this tree: everything up to leaf %d", h.from, h.size-1)
			if h.seq >= 0 {
				text += fmt.Sprintf(" and entry %d", h.seq)
			}
			notes = append(notes, Note{AboutHeld, text + " is as it was when that was taken."})
		}
	}
	return notes
}

func (s *signing) heldFits(h Held, size int64) bool {
	fits := true
	add := func(k Kind, expected, found string) {
		s.found.add(Finding{Kind: k, Leaf: number(h.size), Expected: expected, Found: found})
		fits = false
	}
	switch {
	case h.size > size:
		add(CutShort, fmt.Sprintf("%d leaves, as the checkpoint of %s has", h.size, h.from), fmt.Sprintf("%d leaves", size))
	case s.wanted[h.size].lines != h.root:
		add(AnotherHistory, fmt.Sprintf("over %d leaves the root %s of %s", h.size, h.root, h.from), fmt.Sprintf("the root %s", s.wanted[h.size].lines))
	}
	if len(h.note.signatures) == 0 {
		return fits // it was typed in
	}
	if ours := s.ours(); len(ours) > 0 && h.origin != ours[0].name {
		add(UnknownKey, "a checkpoint of "+ours[0].name, h.from+" is one of "+h.origin)
		return false
	}
	claimed := h.size > size // by a key that may have come after the end
	for _, k := range s.ours() {
		right, claims := h.note.signed(k)
		if claims && !right {
			add(CheckpointSignature, "a signature of "+k.name+" under the checkpoint of "+h.from, "one that is wrong: what you hold was changed")
		}
		claimed = claimed || claims
	}
	if !claimed {
		add(UnknownKey, "the checkpoint of "+h.from+" signed by a key of this record", "signed by "+h.note.signers())
	}
	return fits
}

// ours lists the keys of the record and the one that was given as its own.
func (s *signing) ours() []key {
	keys := s.keys()
	if s.given.text != "" && !slices.ContainsFunc(keys, func(k key) bool { return k.text == s.given.text }) {
		keys = append(keys, s.given)
	}
	return keys
}

package handover

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
)

// Hash is a node of the tree of RFC 6962, 2.1; in JSON it is hexadecimal.
type Hash [sha256.Size]byte

// MarshalText writes the hash in hexadecimal.
func (h Hash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

// UnmarshalText reads what MarshalText writes.
func (h *Hash) UnmarshalText(text []byte) error {
	b, err := hex.DecodeString(string(text))
	if err != nil || len(b) != len(h) {
		return fmt.Errorf("read hash %q: want %d hexadecimal digits", text, 2*len(h))
	}
	copy(h[:], b)
	return nil
}

// String writes the hash in hexadecimal.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// LeafHash is the hash of a leaf: SHA-256 of a zero byte and the line.
func LeafHash(line []byte) Hash { return sha256.Sum256(append([]byte{0}, line...)) }

// nodeHash is the hash of a node: SHA-256 of a one byte and its two children.
func nodeHash(left, right Hash) Hash {
	b := make([]byte, 0, 1+2*len(left))
	b = append(b, 1)
	b = append(b, left[:]...)
	return sha256.Sum256(append(b, right[:]...))
}

// Proof shows that many leaves are of one tree at once. Walk the tree from its
// root, left before right: where a subtree holds none of the leaves, and is full
// (its size is a power of two), its hash is the next of Outside; where it is a
// leaf, hash that; else it is made of its two halves, the left of which holds the
// largest power of two of leaves that is smaller than all.
type Proof struct {
	Size    int64  `json:"size"` // leaves of the tree
	Root    Hash   `json:"root"`
	Outside []Hash `json:"outside"`
}

// prove makes the proof of leaves, which rise, in a tree of size. stored gives
// the hash of the full subtree of 2^level leaves that is the nth of its level.
func prove(leaves []int64, size int64, root Hash, stored func(level int, n int64) (Hash, error)) (Proof, error) {
	p := Proof{Size: size, Root: root, Outside: []Hash{}}
	found, err := walk(0, size, leaves, func(lo, n int64) (Hash, error) {
		level := 0
		for 1<<level < n {
			level++
		}
		h, err := stored(level, lo>>level)
		if err == nil {
			p.Outside = append(p.Outside, h)
		}
		return h, err
	}, func(leaf int64) (Hash, error) { return stored(0, leaf) })
	if err != nil {
		return p, fmt.Errorf("prove %d leaves of %d: %w", len(leaves), size, err)
	}
	if found != root {
		return p, fmt.Errorf("prove %d leaves of %d: the tree's hashes give the root %s, the checkpoint says %s: verify the record", len(leaves), size, found, root)
	}
	return p, nil
}

// errShort says that a proof lacks hashes.
var errShort = errors.New("the proof ends too early")

// Prove reports why leaves, their hashes by number, are not of the tree; nil if
// they are.
func (p Proof) Prove(leaves map[int64]Hash) error {
	numbers := make([]int64, 0, len(leaves))
	for n := range leaves {
		if n < 0 || n >= p.Size {
			return fmt.Errorf("leaf %d is not within the %d leaves of the checkpoint", n, p.Size)
		}
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	rest := p.Outside
	root, err := walk(0, p.Size, numbers, func(_, _ int64) (Hash, error) {
		if len(rest) == 0 {
			return Hash{}, errShort
		}
		h := rest[0]
		rest = rest[1:]
		return h, nil
	}, func(leaf int64) (Hash, error) { return leaves[leaf], nil })
	switch {
	case err != nil:
		return err
	case len(rest) > 0:
		return fmt.Errorf("the proof has %d hashes too many", len(rest))
	case root != p.Root:
		return fmt.Errorf("the leaves give the root %s, the checkpoint says %s", root, p.Root)
	}
	return nil
}

// walk returns the root of the leaves lo to lo+size, of which those in within are
// at hand.
func walk(lo, size int64, within []int64, outside func(lo, size int64) (Hash, error), leaf func(int64) (Hash, error)) (Hash, error) {
	if size < 1 {
		return sha256.Sum256(nil), nil
	}
	if len(within) == 0 && size&(size-1) == 0 {
		return outside(lo, size)
	}
	if size == 1 {
		return leaf(lo)
	}
	half := int64(1)
	for half*2 < size {
		half *= 2
	}
	cut, _ := slices.BinarySearch(within, lo+half)
	left, err := walk(lo, half, within[:cut], outside, leaf)
	if err != nil {
		return Hash{}, err
	}
	right, err := walk(lo+half, size-half, within[cut:], outside, leaf)
	if err != nil {
		return Hash{}, err
	}
	return nodeHash(left, right), nil
}

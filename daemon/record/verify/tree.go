package verify

import (
	"crypto/sha256"
	"encoding/base64"
)

// hash is a node of the tree of RFC 6962, 2.1.
type hash [sha256.Size]byte

func (h hash) String() string { return base64.StdEncoding.EncodeToString(h[:]) }

// leafHash is SHA-256(00 ‖ line). buffer is room for both and may be kept.
func leafHash(line, buffer []byte) (hash, []byte) {
	buffer = append(append(buffer[:0], 0), line...)
	return sha256.Sum256(buffer), buffer
}

// nodeHash is SHA-256(01 ‖ left ‖ right).
func nodeHash(left, right hash) hash {
	var b [1 + 2*sha256.Size]byte
	b[0] = 1
	copy(b[1:], left[:])
	copy(b[1+sha256.Size:], right[:])
	return sha256.Sum256(b[:])
}

// peak is the root of a full subtree, twice: as it follows from the lines, and as
// the record keeps it. They differ only above a line or a hash that was changed.
type peak struct{ lines, kept hash }

func (p peak) over(right peak) peak {
	n := peak{lines: nodeHash(p.lines, right.lines)}
	n.kept = n.lines
	if p.lines != p.kept || right.lines != right.kept {
		n.kept = nodeHash(p.kept, right.kept)
	}
	return n
}

// tree is the right edge of the growing tree: the full subtrees that its leaves
// fall into, the largest first. That is all one must remember to know its root.
type tree struct {
	size  int64
	peaks []peak
}

// grow adds a leaf. made is called for every full subtree above it that the leaf
// completes, upwards, with what follows for it; it returns what the record keeps.
func (t *tree) grow(leaf peak, made func(level int, n int64, p peak) hash) {
	n, p := t.size, leaf
	for level := 1; n&1 == 1; level++ {
		last := len(t.peaks) - 1
		p = t.peaks[last].over(p)
		t.peaks = t.peaks[:last]
		n >>= 1
		p.kept = made(level, n, p)
	}
	t.peaks = append(t.peaks, p)
	t.size++
}

// roots returns the root of all leaves: as it follows from the lines, and from
// what the record keeps.
func (t *tree) roots() peak {
	if len(t.peaks) == 0 {
		empty := hash(sha256.Sum256(nil))
		return peak{empty, empty}
	}
	p := t.peaks[len(t.peaks)-1]
	for i := len(t.peaks) - 2; i >= 0; i-- {
		p = t.peaks[i].over(p)
	}
	return p
}

// keptLevels is of how many levels of the tree a record keeps one, from the leaves on.
const keptLevels = 4

// keptFor is how many hashes a record keeps for a tree of so many leaves: those of
// the full subtrees of every fourth level.
func keptFor(leaves int64) (n int64) {
	for ; leaves > 0; leaves >>= keptLevels {
		n += leaves
	}
	return n
}

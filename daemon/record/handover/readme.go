package handover

import (
	"fmt"
	"strings"
)

// readme tells whoever gets the folder how to check it.
func readme(b *batch) string {
	var w strings.Builder
	fmt.Fprintf(&w, `Batch %s, made at %s in bath %s

What lies here
  entries.jsonl    %d leaves of the record, one a line, as they were hashed
  trace.csv        what the probes read and what the maker did (RFC 4180)
  sheet.pdf        the batch sheet (missing if it was not asked for)
  checkpoint.txt   the signed checkpoint: %d leaves, C2SP signed note
  proof.json       shows that every leaf is of the tree under the checkpoint
  public-key.txt   the key that signed it, as C2SP writes it
  check.py         checks all of this with Python's standard library
  SHA256SUMS       sums of these files

How to check it
1. Were the files changed on their way to you?
     sha256sum -c SHA256SUMS
2. Is each line a leaf of the record? The hash of a leaf is the SHA-256 of a zero
   byte and the line without its end. For the first line:
     (printf '\000'; head -n 1 entries.jsonl | tr -d '\n') | sha256sum
   The hash of a node is the SHA-256 of a one byte, its left and its right child
   (RFC 6962, 2.1). Walk the tree of %d leaves from its root, left before right:
   where a subtree holds none of the leaves here and its size is a power of two,
   its hash is the next of "outside" in proof.json; where it is a single leaf,
   hash the line; else it has two halves, the left of which holds the largest
   power of two of leaves that is smaller than all. The root must be that of the
   checkpoint, the third line of checkpoint.txt in base64.
3. Who says so? The last line of checkpoint.txt is an Ed25519 signature over all
   that stands before the empty line (C2SP signed-note). Do not take the key from
   this folder alone: whoever makes a folder can make a key. Compare it with the
   key on a printed sheet, at the broker, or with another daemon of the site.
4. Are the readings those of the trace? In a line with "readings" the lists hold
   differences: add up the numbers. Temperatures are in 0.0001 °C times "step",
   pressures in pascal, a word in place of a number is a fault, null is a probe
   that is not fitted.
All of it at once:
     python3 check.py . 'PUBLIC KEY'

What it shows, and what it does not
It shows that these entries stood in the record when the checkpoint was signed,
and that none of them was changed since. It does not show that the probes were in
the oil, nor that nobody kept a second record. Alarms and verdict follow from the
readings by the rules of the program; "bainward record verify" on the whole record
folds them again. Entries that were taken back are here, and so are those that say
so. No data of the people who got the oil are here beyond the maker's references.
`, b.number, b.site, b.bath, len(b.leaves), b.proof.Size, b.proof.Size)
	return w.String()
}

package record

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// KindCheckpoint is the kind of a Checkpoint.
const KindCheckpoint Kind = "checkpoint"

// Why a checkpoint was made. The words are part of the file format.
const (
	WhyStart    = "start"     // the first of a record
	WhyHour     = "hour"      // an hour with a bath lit has gone by
	WhyBatchEnd = "batch end" // a batch was closed
	WhyStop     = "stop"      // the daemon ends
	WhyAsked    = "asked"     // somebody wanted one
)

// Checkpoint is the signed root of the tree over all leaves before its own: a
// C2SP tlog-checkpoint. Whoever keeps one can tell later whether the record was
// changed or cut before it. Append makes the note of one that has none, over all
// that comes before it in the same Append.
type Checkpoint struct {
	Note string `json:"note"`
	Why  string `json:"why"`
}

// Kind returns KindCheckpoint.
func (Checkpoint) Kind() Kind { return KindCheckpoint }

func (b Checkpoint) check() error {
	if !slices.Contains([]string{WhyStart, WhyHour, WhyBatchEnd, WhyStop, WhyAsked}, b.Why) {
		return fmt.Errorf("the checkpoint was made for an unknown reason %q", b.Why)
	}
	return nil
}

// TreeHead is what a checkpoint says of the tree.
type TreeHead struct {
	Origin string    // the record: the name of its key
	Size   int64     // leaves
	Root   tlog.Hash // over them
	Seq    int64     // number of the last entry or reading in them
	At     time.Duration
	Wall   time.Time // UTC
}

// text returns the checkpoint that is signed (C2SP tlog-checkpoint).
func (h TreeHead) text() string {
	return fmt.Sprintf("%s\n%d\n%s\nseq %d\nat_ms %d\nwall_ms %d\n",
		h.Origin, h.Size, h.Root, h.Seq, h.At.Milliseconds(), h.Wall.UnixMilli())
}

// CheckpointOf reads what a signed checkpoint says, without looking at its
// signatures: for those, see note.Open of golang.org/x/mod/sumdb/note. Lines that
// it does not know, as another log's checkpoint may have, are passed over.
func CheckpointOf(signed string) (TreeHead, error) {
	text, _, found := strings.Cut(signed, "\n\n")
	if !found {
		return TreeHead{}, errors.New("read checkpoint: it has no blank line before its signatures")
	}
	lines := strings.Split(text, "\n")
	if len(lines) < 3 || lines[0] == "" {
		return TreeHead{}, fmt.Errorf("read checkpoint: %d lines before the signatures, want origin, size and root", len(lines))
	}
	h := TreeHead{Origin: lines[0]}
	size, err := strconv.ParseInt(lines[1], 10, 64)
	if err != nil || size < 0 || strconv.FormatInt(size, 10) != lines[1] {
		return TreeHead{}, fmt.Errorf("read checkpoint: %q is no size of a tree", lines[1])
	}
	h.Size = size
	if h.Root, err = tlog.ParseHash(lines[2]); err != nil {
		return TreeHead{}, fmt.Errorf("read checkpoint: %q is no hash", lines[2])
	}
	for _, line := range lines[3:] {
		if err := h.extend(line); err != nil {
			return TreeHead{}, fmt.Errorf("read checkpoint: %w", err)
		}
	}
	return h, nil
}

func (h *TreeHead) extend(line string) error {
	name, value, _ := strings.Cut(line, " ")
	if name != "seq" && name != "at_ms" && name != "wall_ms" {
		return nil
	}
	n, err := strconv.ParseInt(value, 10, 64)
	if err != nil {
		return fmt.Errorf("%q is no number", line)
	}
	switch name {
	case "seq":
		h.Seq = n
	case "at_ms":
		h.At = time.Duration(n) * Tick
	case "wall_ms":
		h.Wall = time.UnixMilli(n).UTC()
	}
	return nil
}

// Checkpoint appends a checkpoint of the record as it is, and returns it as it
// was signed. Within a commit of more, append a Checkpoint without a note.
func (r *Record) Checkpoint(ctx context.Context, at time.Duration, wall time.Time, why string) (Entry, error) {
	return r.appendOne(ctx, at, wall, Checkpoint{Why: why})
}

// appendOne appends an entry of the site.
func (r *Record) appendOne(ctx context.Context, at time.Duration, wall time.Time, b Body) (Entry, error) {
	e, err := Of(at, wall, "", b)
	if err != nil {
		return Entry{}, err
	}
	numbered, err := r.Append(ctx, []Entry{e})
	if err != nil {
		return Entry{}, err
	}
	return numbered[0], nil
}

// signCheckpoint makes the note of a checkpoint that stands at e, over the tree
// before it.
func (r *Record) signCheckpoint(t *tail, e *Entry, why string) (Checkpoint, error) {
	key, held := r.keyAt(t)
	if !held {
		return Checkpoint{}, errors.New("the record has no key of its own yet: append a Key before the first checkpoint")
	}
	root, err := t.edge.root()
	if err != nil {
		return Checkpoint{}, err
	}
	head := TreeHead{Origin: key.signer.Name(), Size: t.edge.size, Root: root, Seq: e.Seq - 1, At: e.At, Wall: e.Wall}
	signed, err := note.Sign(&note.Note{Text: head.text()}, key.signer)
	if err != nil {
		return Checkpoint{}, err
	}
	return Checkpoint{Note: string(signed), Why: why}, nil
}

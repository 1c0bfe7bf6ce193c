package verify

import (
	"encoding/base64"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// checkpoint is the text of a checkpoint (C2SP tlog-checkpoint): whose tree, how
// many leaves, which root, and in further lines up to where in the log.
type checkpoint struct {
	origin            string
	size              int64
	root              hash
	seq, atMS, wallMS int64 // -1: it does not say
}

var errCheckpoint = errors.New("it is no checkpoint: want a name, a number of leaves and a root, a line each")

// parseCheckpoint reads the text of a note.
func parseCheckpoint(text string) (checkpoint, error) {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) < 3 || lines[0] == "" {
		return checkpoint{}, errCheckpoint
	}
	c := checkpoint{origin: lines[0], seq: -1, atMS: -1, wallMS: -1}
	var err error
	if c.size, err = parseSize(lines[1]); err != nil {
		return checkpoint{}, err
	}
	if c.root, err = parseRoot(lines[2]); err != nil {
		return checkpoint{}, err
	}
	for _, line := range lines[3:] {
		name, text, _ := strings.Cut(line, " ")
		var into *int64
		switch name {
		case "seq":
			into = &c.seq
		case "at_ms":
			into = &c.atMS
		case "wall_ms":
			into = &c.wallMS
		default:
			continue
		}
		if *into, err = strconv.ParseInt(text, 10, 64); err != nil {
			return checkpoint{}, fmt.Errorf("its line %q gives no number", line)
		}
	}
	return c, nil
}

func parseSize(text string) (int64, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 || strconv.FormatInt(n, 10) != text {
		return 0, fmt.Errorf("%q is no number of leaves", text)
	}
	return n, nil
}

func parseRoot(text string) (hash, error) {
	var h hash
	b, err := base64.StdEncoding.Strict().DecodeString(text)
	if err != nil || len(b) != len(h) {
		return h, fmt.Errorf("%q is no root: want %d bytes in base64", text, len(h))
	}
	copy(h[:], b)
	return h, nil
}

package handover

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"bainward/daemon/record"

	"golang.org/x/mod/sumdb/note"
)

// Checked is what a hand-over was found to be.
type Checked struct {
	Batch  string `json:"batch"`
	Origin string `json:"origin"` // the record that it comes from: the name of its key
	Key    string `json:"key"`
	Leaves int    `json:"leaves"`
	Size   int64  `json:"checkpoint_size"`
	Root   Hash   `json:"root"`
	// Vouched: the key was given by whoever asked, and not taken from the folder.
	Vouched bool `json:"vouched"`
}

// most bounds what is read of one file of a hand-over.
const most = 1 << 28

// Check looks at a hand-over as its README says. key is the public key as it was
// kept elsewhere; with an empty one that of the folder is believed, and Vouched is
// false. The errors name the file and what was found, all of them joined.
func Check(dir, key string) (Checked, error) {
	files, err := readAll(dir)
	if err != nil {
		return Checked{}, fmt.Errorf("check hand-over %s: %w", dir, err)
	}
	c := Checked{Vouched: key != "", Key: key}
	if key == "" {
		c.Key = strings.TrimSpace(string(files["public-key.txt"]))
	}
	errs := []error{checkSums(files)}
	head, err := c.checkpoint(files["checkpoint.txt"])
	errs = append(errs, err)
	if err == nil {
		errs = append(errs, c.entries(files, head))
	}
	if err := errors.Join(errs...); err != nil {
		return c, fmt.Errorf("check hand-over %s: %w", dir, err)
	}
	return c, nil
}

// readAll reads the files of a hand-over and refuses what is not one.
func readAll(dir string) (map[string][]byte, error) {
	files := map[string][]byte{}
	there, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	for _, f := range there {
		info, err := f.Info()
		switch {
		case err != nil:
			return nil, err
		case !info.Mode().IsRegular():
			return nil, fmt.Errorf("%s is no plain file, and has no place there", f.Name())
		case info.Size() > most:
			return nil, fmt.Errorf("%s has %d bytes: too many for a hand-over", f.Name(), info.Size())
		}
		if files[f.Name()], err = os.ReadFile(filepath.Join(dir, f.Name())); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{"entries.jsonl", "checkpoint.txt", "proof.json", "public-key.txt", "trace.csv", "SHA256SUMS"} {
		if _, ok := files[name]; !ok {
			return nil, fmt.Errorf("%s is missing", name)
		}
	}
	return files, nil
}

// checkSums compares the files with SHA256SUMS.
func checkSums(files map[string][]byte) error {
	var errs []error
	named := map[string]bool{"SHA256SUMS": true}
	for line := range strings.Lines(string(files["SHA256SUMS"])) {
		want, name, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  ")
		data, there := files[name]
		have := fmt.Sprintf("%x", sha256.Sum256(data))
		switch {
		case !ok:
			errs = append(errs, fmt.Errorf("SHA256SUMS: %q is no line of sums", line))
		case !there:
			errs = append(errs, fmt.Errorf("%s: expected by SHA256SUMS, not found", name))
		case have != want:
			errs = append(errs, fmt.Errorf("%s: expected the sum %s, found %s", name, want, have))
		}
		named[name] = true
	}
	for name := range files {
		if !named[name] {
			errs = append(errs, fmt.Errorf("%s: SHA256SUMS does not name it", name))
		}
	}
	return errors.Join(errs...)
}

// checkpoint checks the signature and reads what was signed.
func (c *Checked) checkpoint(signed []byte) (record.TreeHead, error) {
	v, err := note.NewVerifier(c.Key)
	if err != nil {
		return record.TreeHead{}, fmt.Errorf("public key %q: %w", c.Key, err)
	}
	if _, err := note.Open(signed, note.VerifierList(v)); err != nil {
		return record.TreeHead{}, fmt.Errorf("checkpoint.txt: expected a signature of %s: %w", c.Key, err)
	}
	head, err := record.CheckpointOf(string(signed))
	if err != nil {
		return head, fmt.Errorf("checkpoint.txt: %w", err)
	}
	if head.Origin != v.Name() {
		return head, fmt.Errorf("checkpoint.txt: expected the origin %s, found %s", v.Name(), head.Origin)
	}
	c.Origin, c.Size, c.Root = head.Origin, head.Size, Hash(head.Root)
	return head, nil
}

// entries checks that every line is a leaf under the checkpoint.
func (c *Checked) entries(files map[string][]byte, head record.TreeHead) error {
	var p Proof
	if err := json.Unmarshal(files["proof.json"], &p); err != nil {
		return fmt.Errorf("proof.json: %w", err)
	}
	if p.Size != head.Size || p.Root != Hash(head.Root) {
		return fmt.Errorf("proof.json: expected %d leaves with the root %s as signed, found %d with %s", head.Size, Hash(head.Root), p.Size, p.Root)
	}
	leaves := map[int64]Hash{}
	last := int64(-1)
	for line := range bytes.Lines(files["entries.jsonl"]) {
		line = bytes.TrimSuffix(line, []byte("\n"))
		var e struct {
			Leaf *int64 `json:"leaf"`
			Kind string `json:"kind"`
			Body struct {
				State  string `json:"state"`
				Number string `json:"number"`
			} `json:"body"`
		}
		if err := json.Unmarshal(line, &e); err != nil && e.Leaf == nil {
			return fmt.Errorf("entries.jsonl: line %d: %w", len(leaves)+1, err)
		}
		if e.Leaf == nil || *e.Leaf <= last {
			return fmt.Errorf("entries.jsonl: line %d: expected a leaf after %d", len(leaves)+1, last)
		}
		last = *e.Leaf
		leaves[last] = LeafHash(line)
		if e.Kind == string(record.KindBatch) && e.Body.State == record.Opened {
			c.Batch = e.Body.Number
		}
	}
	c.Leaves = len(leaves)
	if c.Batch == "" {
		return errors.New("entries.jsonl: it holds no opening of a batch")
	}
	if err := p.Prove(leaves); err != nil {
		return fmt.Errorf("entries.jsonl: %w", err)
	}
	return nil
}

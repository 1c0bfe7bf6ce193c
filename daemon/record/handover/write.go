package handover

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"bainward/daemon/record"
	"bainward/rules/trace"
)

//go:embed check.py
var checkPy []byte

// Options says what goes into a hand-over beside the record's own.
type Options struct {
	Site  string                // its name
	Sheet func(io.Writer) error // draws the batch sheet, a PDF; nil: none
}

// Summary is what was handed over.
type Summary struct {
	Batch  string `json:"batch"`
	Leaves int    `json:"leaves"`
	Size   int64  `json:"checkpoint_size"`
	// Later are entries about the batch, of its goods, that are not under a
	// checkpoint yet and so were left out.
	Later int `json:"left_out"`
}

// file is one file of a hand-over.
type file struct {
	name string
	data []byte
}

// Write writes the hand-over of a batch into the folder dir, which must not be
// there yet. It fails, and leaves nothing behind, if the record does not hold the
// batch, if the batch is still open, or if no checkpoint covers its end.
func Write(ctx context.Context, r *record.Reader, number, dir string, o Options) (Summary, error) {
	fail := func(err error) (Summary, error) {
		return Summary{}, fmt.Errorf("hand over batch %q to %s: %w", number, dir, err)
	}
	if _, err := os.Lstat(dir); err == nil {
		return fail(errors.New("it is there already: name a folder that is not"))
	} else if !errors.Is(err, fs.ErrNotExist) {
		return fail(err)
	}
	files, s, err := filesOf(ctx, r, number, o)
	if err != nil {
		return fail(err)
	}
	temp, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".hand-over-")
	if err != nil {
		return fail(err)
	}
	for _, f := range files {
		err = errors.Join(err, os.WriteFile(filepath.Join(temp, f.name), f.data, 0o644))
	}
	err = errors.Join(err, os.Chmod(temp, 0o755))
	if err == nil {
		err = os.Rename(temp, dir)
	}
	if err != nil {
		return fail(errors.Join(err, os.RemoveAll(temp)))
	}
	return s, nil
}

// Pack writes the same as one zip. Like Write it leaves nothing behind when it
// fails; the same record gives the same bytes.
func Pack(ctx context.Context, r *record.Reader, number string, w io.Writer, o Options) (Summary, error) {
	files, s, err := filesOf(ctx, r, number, o)
	if err != nil {
		return Summary{}, fmt.Errorf("hand over batch %q: %w", number, err)
	}
	z := zip.NewWriter(w)
	for _, f := range files {
		part, err := z.CreateHeader(&zip.FileHeader{Name: number + "/" + f.name, Method: zip.Deflate, Modified: time.Time{}})
		if err == nil {
			_, err = part.Write(f.data)
		}
		if err != nil {
			return Summary{}, fmt.Errorf("pack batch %q: %w", number, err)
		}
	}
	if err := z.Close(); err != nil {
		return Summary{}, fmt.Errorf("pack batch %q: %w", number, err)
	}
	return s, nil
}

// filesOf makes all files of a hand-over.
func filesOf(ctx context.Context, r *record.Reader, number string, o Options) ([]file, Summary, error) {
	b, err := gather(ctx, r, number)
	if err != nil {
		return nil, Summary{}, err
	}
	b.site = o.Site
	proof, err := json.MarshalIndent(b.proof, "", " ")
	if err != nil {
		return nil, Summary{}, fmt.Errorf("write the proof: %w", err)
	}
	var rows bytes.Buffer
	if err := trace.Write(&rows, b.trace); err != nil {
		return nil, Summary{}, err
	}
	var lines bytes.Buffer
	for _, l := range b.leaves {
		lines.Write(l.Line)
		lines.WriteByte('\n')
	}
	files := []file{
		{"README.txt", []byte(readme(b))},
		{"entries.jsonl", lines.Bytes()},
		{"trace.csv", rows.Bytes()},
		{"checkpoint.txt", []byte(b.note)},
		{"proof.json", append(proof, '\n')},
		{"public-key.txt", []byte(b.key + "\n")},
		{"check.py", checkPy},
	}
	if o.Sheet != nil {
		var sheet bytes.Buffer
		if err := o.Sheet(&sheet); err != nil {
			return nil, Summary{}, err
		}
		files = append(files, file{"sheet.pdf", sheet.Bytes()})
	}
	files = append(files, file{"SHA256SUMS", sums(files)})
	return files, Summary{Batch: number, Leaves: len(b.leaves), Size: b.proof.Size, Later: b.later}, nil
}

// sums writes what sha256sum -c reads.
func sums(files []file) []byte {
	var w bytes.Buffer
	for _, f := range files {
		fmt.Fprintf(&w, "%x  %s\n", sha256.Sum256(f.data), f.name)
	}
	return w.Bytes()
}

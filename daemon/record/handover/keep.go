package handover

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// keptIn is the folder, beside a record, in which hand-overs of other records are
// kept. The record itself is never touched by them.
const keptIn = "handed-over"

// Keep checks a hand-over and keeps a copy of it beside the record in recordDir,
// which it does not open. It returns where the copy lies. What is kept there
// already is not written over: the same hand-over again is an error that is
// fs.ErrExist, and so is another one of the same batch.
func Keep(dir, key, recordDir string) (Checked, string, error) {
	c, err := Check(dir, key)
	if err != nil {
		return c, "", err
	}
	to := filepath.Join(recordDir, keptIn, level(c.Origin), level(c.Batch))
	if _, err := os.Lstat(to); err == nil {
		return c, to, fmt.Errorf("keep hand-over %s: %w: a hand-over of batch %s lies in %s; remove it first if this one is to take its place", dir, fs.ErrExist, c.Batch, to)
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return c, "", fmt.Errorf("keep hand-over %s: %w", dir, err)
	}
	temp, err := os.MkdirTemp(filepath.Dir(to), ".keep-")
	if err != nil {
		return c, "", fmt.Errorf("keep hand-over %s: %w", dir, err)
	}
	err = errors.Join(os.CopyFS(temp, os.DirFS(dir)), os.Chmod(temp, 0o755))
	if err == nil {
		// What was checked is what is kept, whatever became of dir meanwhile.
		_, err = Check(temp, key)
	}
	if err == nil {
		err = os.Rename(temp, to)
	}
	if err != nil {
		return c, "", fmt.Errorf("keep hand-over %s: %w", dir, errors.Join(err, os.RemoveAll(temp)))
	}
	return c, to, nil
}

// level makes one name of a folder of a name in the record.
func level(name string) string {
	return strings.Map(func(r rune) rune {
		if r == '/' || r == '\\' || r == 0 || r == ':' {
			return '_'
		}
		return r
	}, strings.TrimLeft(name, "."))
}

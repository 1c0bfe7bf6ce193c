package verify

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// copyTries is how often a copy of a record in use is tried. SQLite works its log
// into the file every thousand pages, minutes apart; a copy takes seconds.
const copyTries = 5

var errMoved = errors.New("it changed while it was copied")

// copyAside copies the record at path, and what lies beside it, into a temporary
// folder. It first copies the log, then the file, and then makes sure that the
// file stood still meanwhile: then the log, up to its last whole transaction, goes
// with that file (sqlite.org/walformat.html, 4.1 on torn and stale frames).
func copyAside(ctx context.Context, path string) (dir, name string, err error) {
	dir, err = os.MkdirTemp("", "bainward-verify-")
	if err != nil {
		return "", "", fmt.Errorf("make room for a copy of the record: %w", err)
	}
	name = filepath.Join(dir, fileName)
	for range copyTries {
		if err = copyOnce(ctx, path, name); !errors.Is(err, errMoved) {
			break
		}
	}
	if err != nil {
		err = fmt.Errorf("copy record %s to %s: %w: make room there, set TMPDIR to a folder with room, or take a copy of the record yourself and name that", path, dir, err)
		return "", "", errors.Join(err, os.RemoveAll(dir))
	}
	return dir, name, nil
}

func copyOnce(ctx context.Context, path, name string) error {
	before, err := standing(path)
	if err != nil {
		return err
	}
	for _, side := range append(sides(), "") {
		err := copyFile(ctx, path+side, name+side)
		if errors.Is(err, fs.ErrNotExist) && side != "" {
			if err = os.Remove(name + side); errors.Is(err, fs.ErrNotExist) {
				err = nil
			}
		}
		if err != nil {
			return err
		}
	}
	after, err := standing(path)
	if err != nil {
		return err
	}
	if before != after {
		return errMoved
	}
	return nil
}

// stand tells one state of a record's file and its log's run from another.
type stand struct {
	size     int64
	modified time.Time
	head     string // of the log: its salts change when it begins anew
}

func standing(path string) (stand, error) {
	info, err := os.Stat(path)
	if err != nil {
		return stand{}, err
	}
	s := stand{size: info.Size(), modified: info.ModTime()}
	f, err := os.Open(path + "-wal")
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	if err != nil {
		return s, err
	}
	defer f.Close()
	const header = 32
	var head bytes.Buffer
	if _, err := io.CopyN(&head, f, header); err != nil && !errors.Is(err, io.EOF) {
		return s, err
	}
	s.head = head.String()
	return s, nil
}

func copyFile(ctx context.Context, from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	_, err = io.Copy(out, untilDone{ctx, in})
	return err
}

// untilDone reads until ctx ends.
type untilDone struct {
	ctx context.Context
	r   io.Reader
}

func (u untilDone) Read(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.r.Read(p)
}

package push

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// private is who may read the files: they hold a key, and addresses that work
// like one.
const private fs.FileMode = 0o600

// file is one JSON file that is either the old one or the new one, whole,
// whenever the machine dies.
type file struct {
	path   string
	rename func(from, to string) error
}

func newFile(dir, name string) file {
	return file{path: filepath.Join(dir, name), rename: os.Rename}
}

// write puts v in the place of the file. When it returns nil, the new content
// outlives a loss of power; when it returns an error, the old one is whole.
func (f file) write(v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Errorf("write %q: %w", f.path, err)
	}
	beside := f.path + ".new"
	err = writeBeside(beside, append(data, '\n'))
	if err == nil {
		err = f.rename(beside, f.path)
	}
	if err == nil {
		err = syncFolder(filepath.Dir(f.path))
	}
	if err != nil {
		_ = os.Remove(beside) // it may be gone, and the error that matters is already there
		return fmt.Errorf("write %q: %w", f.path, err)
	}
	return nil
}

// writeBeside makes a new file. One that an earlier death left there is taken
// away first, with whatever permissions it had.
func writeBeside(path string, data []byte) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, private)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// syncFolder makes the names in dir durable.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// read fills v. It returns false if there is no file. A file that others could
// read, out of a backup say, is made private again.
func (f file) read(v any) (bool, error) {
	data, err := os.ReadFile(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err == nil {
		err = os.Chmod(f.path, private)
	}
	if err != nil {
		return false, err // it names the file
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return false, f.damaged(err)
	}
	if rest := bytes.TrimSpace(data[d.InputOffset():]); len(rest) > 0 {
		return false, f.damaged(errors.New("something follows its end"))
	}
	return true, nil
}

// damaged says which file cannot be used, and why. The cause must not quote the
// file.
func (f file) damaged(cause error) error {
	return fmt.Errorf("%q is damaged: %w", f.path, cause)
}

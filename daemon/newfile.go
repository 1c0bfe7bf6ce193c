package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// writeNew writes data into a file that did not exist before. If anything goes
// wrong, no file is left.
func writeNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("write %q: it exists and is never overwritten: choose another name, or move it away", path)
	}
	if err != nil {
		return fmt.Errorf("write new file: %w", err)
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(fmt.Errorf("write new file: %w", err), os.Remove(path))
	}
	return nil
}

package people

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// maxFile is far more than the people of any site fill, bytes.
const maxFile = 1 << 20

// readFile reads the JSON of path into v. A file that is not there is no error:
// v stays as it was.
func readFile(path string, v any) error {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	switch {
	case err != nil:
		return err
	case len(text) > maxFile:
		return fmt.Errorf("%s is larger than %d bytes", path, maxFile)
	}
	if err := json.Unmarshal(text, v); err != nil {
		// The cause is left out: it quotes what stands there.
		return fmt.Errorf("%s is damaged: bring it back from a copy, or remove it", path)
	}
	return nil
}

// writeFile puts v into path, mode 0600, whole or not at all. Written by root, the
// file belongs to whom its folder belongs to: the daemon is to read it.
func writeFile(path string, v any) error {
	text, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		return err
	}
	return replaceFile(path, append(text, '\n'))
}

func replaceFile(path string, text []byte) error {
	dir := filepath.Dir(path)
	f, err := os.CreateTemp(dir, filepath.Base(path)+".*") // mode 0600
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err == nil {
		err = giveTo(f, dir)
	}
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return syncFolder(dir)
}

// giveTo gives f to the owner of dir, which only root can.
func giveTo(f *os.File, dir string) error {
	if os.Geteuid() != 0 {
		return nil
	}
	info, err := os.Stat(dir)
	if err != nil {
		return err
	}
	owner, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return nil
	}
	return f.Chown(int(owner.Uid), int(owner.Gid))
}

// syncFolder makes a new name in dir outlive a power cut.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// alone runs do while no other command changes a file of dir. The kernel ends the
// lock with the process, however that ends.
func alone(dir string, do func() error) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := syscall.Flock(int(d.Fd()), syscall.LOCK_EX); err != nil {
		return fmt.Errorf("lock folder %s: %w", dir, err)
	}
	return do()
}

// stamp tells one content of a file from the next without reading it.
type stamp struct {
	inode, size, changed int64
}

func stampOf(path string) (stamp, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return stamp{}, nil
	}
	if err != nil {
		return stamp{}, err
	}
	s := stamp{size: info.Size(), changed: info.ModTime().UnixNano()}
	if sys, ok := info.Sys().(*syscall.Stat_t); ok {
		s.inode = int64(sys.Ino)
	}
	return s, nil
}

package record

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

const lockName = "lock"

// takeLock takes the lock that one writer of the record in dir holds, and
// writes this process's number into it for the next one to name. The kernel
// releases it when the file is closed or the process dies, however it dies; the
// file itself stays, since taking it away would let two processes hold it.
func takeLock(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, lockName), os.O_RDWR|os.O_CREATE, 0o640)
	if err != nil {
		return nil, &FolderError{Dir: dir, What: "written to", Err: err}
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		defer f.Close()
		return nil, &InUseError{Dir: dir, PID: holder(f)}
	}
	if err == nil {
		err = writeHolder(f)
	}
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("lock record %s: %w", dir, err)
	}
	return f, nil
}

func writeHolder(f *os.File) error {
	if err := f.Truncate(0); err != nil {
		return err
	}
	_, err := f.WriteAt(fmt.Appendln(nil, os.Getpid()), 0)
	return err
}

// holder returns the number of the process that holds the lock, or 0 if it has
// not written it yet.
func holder(f *os.File) int {
	text, err := io.ReadAll(io.LimitReader(f, 32))
	if err != nil {
		return 0
	}
	pid, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil {
		return 0
	}
	return pid
}

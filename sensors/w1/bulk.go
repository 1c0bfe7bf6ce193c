package w1

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"
)

// Words of therm_bulk_read (Documentation/ABI/testing/sysfs-driver-w1_therm).
// It says -1 while a probe converts, 1 when all are done and some not yet read,
// else 0.
const (
	bulkTrigger    = "trigger\n" // the kernel takes nothing shorter or longer
	bulkConverting = "-1"
)

// bulkPatience is after how long to read the probes whatever the file says. The
// kernel itself gives a conversion up after this time (w1_therm.c).
const bulkPatience = 2 * time.Second

// bulkPoll is the time between two looks. The kernel's write returns when the
// conversion is over, so that the first is usually the last.
const bulkPoll = 10 * time.Millisecond

// errSlow means that a conversion did not end within bulkPatience, or the time
// that the poll had.
var errSlow = errors.New("a probe is still converting, or the kernel hangs: see dmesg")

// master is what is remembered of one 1-Wire line.
type master struct {
	bulk    question[error]
	trouble string // the last error told
}

// convert makes all probes on a line convert at once. It returns when they are
// done, or when there is no more use in waiting; reading is right in any case:
// a probe that did not convert here does so when its w1_slave is read.
func (w *Wire) convert(ctx context.Context, name string, m *master) {
	path := filepath.Join(w.root, name, bulkFile)
	ctx, cancel := context.WithTimeout(ctx, bulkPatience)
	defer cancel()
	err, answered := m.bulk.ask(ctx, func() error { return w.convertAll(ctx, path) })
	trouble := ""
	switch {
	case !answered && errors.Is(ctx.Err(), context.DeadlineExceeded):
		trouble = errSlow.Error()
	case err != nil && !errors.Is(err, fs.ErrNotExist): // older kernels have no such file
		trouble = err.Error()
	}
	if trouble != "" && trouble != m.trouble {
		w.log.Warn("no common conversion", "file", path, "error", trouble)
	}
	m.trouble = trouble
}

// convertAll starts a conversion and waits until it is over or ctx ends.
func (w *Wire) convertAll(ctx context.Context, path string) error {
	if err := w.write(path, []byte(bulkTrigger)); err != nil {
		return fmt.Errorf("start it: %w; unless this user may write to the file, each probe converts when it is read", err)
	}
	for {
		state, err := w.read(path)
		if err != nil {
			return fmt.Errorf("look whether it is over: %w", err)
		}
		if string(bytes.TrimSpace(state)) != bulkConverting {
			return nil
		}
		select {
		case <-ctx.Done():
			return errSlow
		case <-time.After(bulkPoll):
		}
	}
}

package wire

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bainward/sensors"
)

// The kernel's w1_therm driver (drivers/w1/slaves/w1_therm.c).
const (
	kernelWait    = 750 * time.Millisecond // at 12 bits; it does not look whether the chip is done
	kernelTries   = 5
	kernelMaster  = "w1_bus_master1"
	kernelTrigger = "trigger"
)

// KernelOptions says how the tree looks.
type KernelOptions struct {
	// Bulk adds the master's therm_bulk_read file (Linux 5.10 and later).
	Bulk bool
	// Old shows damaged scratchpads with NO, as drivers before Linux 5.8 did.
	// Newer ones give an empty file when five tries have failed.
	Old bool
}

// Kernel writes what Linux shows of a line's chips below a directory that
// stands for /sys/bus/w1/devices. The files are plain ones: they say what they
// said at the last Refresh. One goroutine at a time may use it.
type Kernel struct {
	dir  string
	line *Line
	o    KernelOptions
	kept map[string][9]byte // the last good scratchpad of each chip shown
}

// NewKernel returns a tree below dir; Refresh makes it.
func NewKernel(dir string, l *Line, o KernelOptions) *Kernel {
	return &Kernel{dir: dir, line: l, o: o, kept: map[string][9]byte{}}
}

// Refresh converts on every chip at once and writes every file, each in one
// step. Chips that were replaced lose their directory.
func (k *Kernel) Refresh() error {
	shown := k.read()
	for name := range k.kept {
		if _, still := shown[name]; !still {
			if err := os.RemoveAll(filepath.Join(k.dir, name)); err != nil {
				return fmt.Errorf("refresh w1 tree: %w", err)
			}
			delete(k.kept, name)
		}
	}
	for name, files := range shown {
		if err := k.write(name, files); err != nil {
			return fmt.Errorf("refresh w1 tree: %w", err)
		}
	}
	return k.refreshMaster()
}

// read lets the kernel read every chip, and returns the text of each chip's
// files.
func (k *Kernel) read() map[string]map[string]string {
	k.line.mu.Lock()
	defer k.line.mu.Unlock()
	shown := map[string]map[string]string{}
	for _, c := range k.line.chips {
		name := c.o.Address.String()
		files := map[string]string{
			"w1_slave":   k.slave(name, c),
			"resolution": fmt.Sprintf("%d\n", c.bits()),
			"ext_power":  "1\n",
		}
		if c.o.Parasite {
			files["ext_power"] = "0\n"
		}
		if c.faults.Missing || k.line.faults.Open {
			files["resolution"], files["ext_power"] = "", ""
		}
		shown[name] = files
	}
	return shown
}

// slave returns the text of w1_slave.
func (k *Kernel) slave(name string, c *Chip) string {
	kept := k.kept[name]
	k.kept[name] = kept // it is shown now, whatever it says
	switch {
	case k.line.faults.Short:
		return slaveText([9]byte{}, kept, true) // nine zeros have CRC zero
	case c.faults.Missing, k.line.faults.Open:
		return ""
	}
	c.convertForKernel()
	good := c.scratchpad()
	seen := c.damaged(good)
	for try := 1; seen != good && try < kernelTries; try++ {
		seen = c.damaged(good)
	}
	switch {
	case seen == good:
		k.kept[name] = good
		return slaveText(good, good, true)
	case k.o.Old:
		return slaveText(seen, kept, false)
	}
	return ""
}

// convertForKernel is a conversion as the kernel does it: a fixed wait, with a
// strong pull-up if need be, then whatever the chip holds.
func (c *Chip) convertForKernel() {
	c.convert(0)
	if c.converting && c.duration() <= kernelWait>>(12-c.bits()) {
		c.finish()
	}
	c.converting = false
}

// slaveText is two lines: the bytes as read with the CRC's verdict, then the
// last good bytes with the temperature of the bytes as read, in 1/1000 °C.
func slaveText(pad, kept [9]byte, ok bool) string {
	verdict := "NO"
	if ok {
		verdict = "YES"
	}
	milli := int(int16(uint16(pad[1])<<8|uint16(pad[0]))) * 1000 / 16
	return fmt.Sprintf("% x : crc=%02x %s\n% x t=%d\n", pad, sensors.CRC8(pad[:8]), verdict, kept, milli)
}

func (k *Kernel) write(name string, files map[string]string) error {
	dir := filepath.Join(k.dir, name)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for file, text := range files {
		if err := replace(filepath.Join(dir, file), text); err != nil {
			return err
		}
	}
	return nil
}

// refreshMaster lists the chips and answers a bulk conversion: the word
// trigger becomes 1, which means converted and not yet read.
func (k *Kernel) refreshMaster() error {
	var names strings.Builder
	for _, c := range k.line.Chips() {
		fmt.Fprintln(&names, c.Address())
	}
	files := map[string]string{"w1_master_slaves": names.String()}
	if k.o.Bulk {
		state, err := os.ReadFile(filepath.Join(k.dir, kernelMaster, "therm_bulk_read"))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			files["therm_bulk_read"] = "0\n"
		case err != nil:
			return fmt.Errorf("refresh w1 tree: %w", err)
		case strings.TrimSpace(string(state)) == kernelTrigger:
			files["therm_bulk_read"] = "1\n"
		}
	}
	if err := k.write(kernelMaster, files); err != nil {
		return fmt.Errorf("refresh w1 tree: %w", err)
	}
	return nil
}

// replace writes a file in one step, so that a reader sees the old text or the
// new one.
func replace(path, text string) error {
	next := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".new")
	if err := os.WriteFile(next, []byte(text), 0o644); err != nil {
		return err
	}
	return os.Rename(next, path)
}

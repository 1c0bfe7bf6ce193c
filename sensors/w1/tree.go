package w1

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bainward/sensors"
)

// Names that the kernel gives (Documentation/ABI/testing/sysfs-driver-w1_therm
// and Documentation/w1/w1-generic.rst).
const (
	masterPrefix = "w1_bus_master"
	slaveFile    = "w1_slave"
	powerFile    = "ext_power"
	bulkFile     = "therm_bulk_read"
)

// tree is what a root holds at one instant.
type tree struct {
	masters []string          // folder names of 1-Wire lines, sorted
	probes  []sensors.Address // thermometers, sorted by family and serial number
}

// look lists the root. Everything in it that is neither a line nor a
// thermometer is passed over.
func look(root string) (tree, error) {
	var t tree
	entries, err := os.ReadDir(root)
	if err != nil {
		return t, fmt.Errorf("list 1-Wire devices: %w", explain(err))
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), masterPrefix) {
			t.masters = append(t.masters, e.Name())
		} else if a, err := sensors.ParseAddress(e.Name()); err == nil && isThermometer(a) {
			t.probes = append(t.probes, a)
		}
	}
	slices.Sort(t.masters)
	slices.SortFunc(t.probes, func(a, b sensors.Address) int {
		return cmp.Or(cmp.Compare(a.Family(), b.Family()), cmp.Compare(a.Serial(), b.Serial()))
	})
	return t, nil
}

func isThermometer(a sensors.Address) bool {
	switch a.Family() {
	case sensors.FamilyDS18B20, sensors.FamilyDS1822, sensors.FamilyDS1825:
		return true
	}
	return false
}

// masterOf returns the folder name of the line that a probe is on, or "" if it
// cannot be told. The kernel's entries are links into the folder of their line;
// in a tree without links the only line is the one.
func (t tree) masterOf(root string, a sensors.Address) string {
	if to, err := os.Readlink(filepath.Join(root, a.String())); err == nil {
		return filepath.Base(filepath.Dir(to))
	}
	if len(t.masters) == 1 {
		return t.masters[0]
	}
	return ""
}

// fileLimit is more than sysfs ever shows: one page.
const fileLimit = 4096

// readFile reads a file of sysfs.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, fileLimit))
}

// writeFile writes to a file of sysfs, which must exist.
func writeFile(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0)
	if err != nil {
		return err
	}
	if _, err := f.Write(text); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

package wire_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
)

const shown = "28-00000bbb9b13" // the kernel's name of genuine (C. Petrich)

// tree is a kernel's tree that is refreshed and read.
type tree struct {
	t      *testing.T
	dir    string
	kernel *wire.Kernel
}

func newTree(t *testing.T, line *wire.Line, o wire.KernelOptions) *tree {
	dir := t.TempDir()
	return &tree{t: t, dir: dir, kernel: wire.NewKernel(dir, line, o)}
}

func (k *tree) refresh() {
	k.t.Helper()
	if err := k.kernel.Refresh(); err != nil {
		k.t.Fatal(err)
	}
}

// text refreshes and returns a file's text.
func (k *tree) text(path ...string) string {
	k.t.Helper()
	k.refresh()
	text, err := os.ReadFile(filepath.Join(append([]string{k.dir}, path...)...))
	if err != nil {
		k.t.Fatal(err)
	}
	return string(text)
}

func (k *tree) want(text string, path ...string) {
	k.t.Helper()
	if got := k.text(path...); got != text {
		k.t.Errorf("%s: got\n%swant\n%s", filepath.Join(path...), got, text)
	}
}

// The text is that of the kernel's documentation
// (Documentation/w1/slaves/w1_therm.rst) and driver (w1_therm.c); the
// scratchpads are published ones, see the comments.
func TestTheKernelShowsEachFaultAsItDoes(t *testing.T) {
	const zeros = "00 00 00 00 00 00 00 00 00"
	for _, c := range []struct {
		name    string
		celsius float64
		chip    wire.ChipFaults
		line    wire.LineFaults
		want    string
	}{
		{"27.5 °C", 27.5, wire.ChipFaults{}, wire.LineFaults{}, // a public test fixture
			"b8 01 4b 46 7f ff 08 10 8a : crc=8a YES\nb8 01 4b 46 7f ff 08 10 8a t=27500\n"},
		{"power-on value", 27.5, wire.ChipFaults{BrownOut: true}, wire.LineFaults{}, // C. Petrich
			"50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n"},
		{"conversion failed", 27.5, wire.ChipFaults{ConversionFails: true}, wire.LineFaults{},
			"ff 07 4b 46 7f ff 0c 10 a6 : crc=a6 YES\nff 07 4b 46 7f ff 0c 10 a6 t=127937\n"},
		{"slow", 27.5, wire.ChipFaults{Slow: time.Second}, wire.LineFaults{}, // the old value
			"50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n"},
		{"missing", 27.5, wire.ChipFaults{Missing: true}, wire.LineFaults{}, ""},
		{"damaged", 27.5, wire.ChipFaults{FlipBits: 1}, wire.LineFaults{}, ""},
		{"open", 27.5, wire.ChipFaults{}, wire.LineFaults{Open: true}, ""},
		{"short", 27.5, wire.ChipFaults{}, wire.LineFaults{Short: true},
			zeros + " : crc=00 YES\n" + zeros + " t=0\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, line, _ := newBus(at(genuine, c.celsius))
			line.Chips()[0].SetFaults(c.chip)
			line.SetFaults(c.line)
			newTree(t, line, wire.KernelOptions{}).want(c.want, shown, "w1_slave")
		})
	}
}

func TestFewerDamagedReadsThanTheKernelTriesAreNotSeen(t *testing.T) {
	_, line, _ := newBus(at(genuine, 27.5))
	line.Chips()[0].SetFaults(wire.ChipFaults{FlipBits: 1, FlipReads: 4})
	newTree(t, line, wire.KernelOptions{}).want(
		"b8 01 4b 46 7f ff 08 10 8a : crc=8a YES\nb8 01 4b 46 7f ff 08 10 8a t=27500\n", shown, "w1_slave")
}

// An old driver says NO, keeps the last good bytes on the second line, and
// computes the temperature from the bad ones.
func TestAnOldKernelSaysNOBesideTheLastGoodBytes(t *testing.T) {
	_, line, _ := newBus(at(genuine, 27.5))
	k := newTree(t, line, wire.KernelOptions{Old: true})
	k.refresh()
	line.Chips()[0].SetFaults(wire.ChipFaults{FlipBits: 1}) // bit 3 of the first byte
	k.want("b0 01 4b 46 7f ff 08 10 8a : crc=a0 NO\nb8 01 4b 46 7f ff 08 10 8a t=27000\n", shown, "w1_slave")
}

func TestSupplyAndResolutionAreShown(t *testing.T) {
	chip := at(genuine, 20)
	chip.Parasite = true
	_, line, _ := newBus(chip)
	k := newTree(t, line, wire.KernelOptions{})
	k.want("0\n", shown, "ext_power")
	k.want("12\n", shown, "resolution")
	k.want(shown+"\n", "w1_bus_master1", "w1_master_slaves")
}

func TestAReplacedChipTakesItsDirectoryWithIt(t *testing.T) {
	_, line, _ := newBus(at(genuine, 20))
	k := newTree(t, line, wire.KernelOptions{})
	k.refresh()
	other := sensors.NewAddress(sensors.FamilyDS18B20, 0x000010D6CA)
	line.Chips()[0].Replace(other)
	k.text(other.String(), "w1_slave")
	if _, err := os.Stat(filepath.Join(k.dir, shown)); !os.IsNotExist(err) {
		t.Errorf("the old chip's directory: %v, want it gone", err)
	}
}

func TestABulkConversionIsAnsweredAtTheNextRefresh(t *testing.T) {
	_, line, _ := newBus(at(genuine, 20))
	k := newTree(t, line, wire.KernelOptions{Bulk: true})
	k.want("0\n", "w1_bus_master1", "therm_bulk_read")
	if err := os.WriteFile(filepath.Join(k.dir, "w1_bus_master1", "therm_bulk_read"), []byte("trigger\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	k.want("1\n", "w1_bus_master1", "therm_bulk_read")
	if _, err := os.Stat(filepath.Join(newTree(t, line, wire.KernelOptions{}).dir, "w1_bus_master1", "therm_bulk_read")); err == nil {
		t.Error("a master without bulk reads has the file")
	}
}

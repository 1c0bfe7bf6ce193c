package w1_test

import (
	"bytes"
	"log/slog"
	"os"
	"path/filepath"
	"testing"

	"bainward/sensors"
	"bainward/sensors/w1"
)

// Addresses of genuine probes (C. Petrich, github.com/cpetrich/counterfeit_DS18B20).
var (
	oil  = sensors.NewAddress(sensors.FamilyDS18B20, 0x00000BBB9B13)
	bath = sensors.NewAddress(sensors.FamilyDS18B20, 0x00001010D6CA)
)

// Texts of w1_slave, the same as in testdata/w1.
const (
	text27_5    = "b8 01 4b 46 7f ff 08 10 8a : crc=8a YES\nb8 01 4b 46 7f ff 08 10 8a t=27500\n"
	textTrue85  = "50 05 4b 46 7f ff 10 10 bd : crc=bd YES\n50 05 4b 46 7f ff 10 10 bd t=85000\n"
	textPowerOn = "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n"
)

// rig is a tree laid out as the kernel does it, and the Wire that reads it.
type rig struct {
	t    *testing.T
	root string
	wire *w1.Wire
	log  bytes.Buffer
}

func newRig(t *testing.T) *rig {
	return &rig{t: t, root: t.TempDir()}
}

// open opens the Wire; files may still be added.
func (r *rig) open() *rig {
	r.t.Helper()
	log := slog.New(slog.NewTextHandler(&r.log, &slog.HandlerOptions{Level: slog.LevelInfo}))
	wire, err := w1.Open(w1.Options{Root: r.root, Logger: log})
	if err != nil {
		r.t.Fatal(err)
	}
	r.wire = wire
	r.t.Cleanup(func() {
		if err := wire.Close(); err != nil {
			r.t.Error(err)
		}
	})
	return r
}

// put writes a file below the root, and its folder.
func (r *rig) put(text string, path ...string) {
	r.t.Helper()
	full := filepath.Join(append([]string{r.root}, path...)...)
	if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
		r.t.Fatal(err)
	}
	if err := os.WriteFile(full, []byte(text), 0o644); err != nil {
		r.t.Fatal(err)
	}
}

// slave writes a probe's w1_slave.
func (r *rig) slave(a sensors.Address, text string) {
	r.t.Helper()
	r.put(text, a.String(), "w1_slave")
}

// link puts a probe's folder on a line, with the link that the kernel has for
// it in the root.
func (r *rig) link(master string, a sensors.Address) {
	r.t.Helper()
	if err := os.MkdirAll(filepath.Join(r.root, master, a.String()), 0o755); err != nil {
		r.t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(master, a.String()), filepath.Join(r.root, a.String())); err != nil {
		r.t.Fatal(err)
	}
}

func (r *rig) read(addresses ...sensors.Address) []sensors.Sample {
	r.t.Helper()
	samples, err := r.wire.Read(r.t.Context(), addresses)
	if err != nil {
		r.t.Fatal(err)
	}
	if len(samples) != len(addresses) {
		r.t.Fatalf("%d samples for %d addresses", len(samples), len(addresses))
	}
	for i, s := range samples {
		if s.Address != addresses[i] {
			r.t.Fatalf("sample %d is of %v, want %v", i, s.Address, addresses[i])
		}
	}
	return samples
}

// want reads one probe and checks what it says.
func (r *rig) want(what string, a sensors.Address, want sensors.Reading) {
	r.t.Helper()
	wantReading(r.t, what, r.read(a)[0].Reading, want)
}

func wantReading(t *testing.T, what string, got, want sensors.Reading) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v °C (%v), want %v °C (%v)", what, got.Celsius(), got.Fault, want.Celsius(), want.Fault)
	}
}

package w1_test

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bainward/sensors"
	"bainward/sensors/w1"
)

func TestAMissingRootSaysThatTheDriverIsNotLoaded(t *testing.T) {
	root := filepath.Join(t.TempDir(), "nowhere")
	wire, err := w1.Open(w1.Options{Root: root})
	if !errors.Is(err, w1.ErrNoDriver) || !errors.Is(err, fs.ErrNotExist) || wire != nil {
		t.Fatalf("got %v, %v; want only ErrNoDriver", wire, err)
	}
	for _, word := range []string{root, "1-Wire driver is not loaded", "dtoverlay=w1-gpio"} {
		if !strings.Contains(err.Error(), word) {
			t.Errorf("error %q does not say %q", err, word)
		}
	}
}

func TestARootThatGoesAwayIsAnErrorAndEachProbeAbsent(t *testing.T) {
	r := newRig(t)
	r.slave(oil, text27_5)
	r.open()
	if err := os.RemoveAll(r.root); err != nil {
		t.Fatal(err)
	}
	samples, err := r.wire.Read(t.Context(), []sensors.Address{oil, bath})
	if !errors.Is(err, w1.ErrNoDriver) {
		t.Errorf("read: got error %v, want ErrNoDriver", err)
	}
	if len(samples) != 2 || samples[0].Reading.Fault != sensors.Absent || samples[1].Address != bath {
		t.Errorf("read: got %+v, want both absent", samples)
	}
	if _, err := r.wire.Probes(t.Context()); !errors.Is(err, w1.ErrNoDriver) {
		t.Errorf("search: got error %v, want ErrNoDriver", err)
	}
}

func TestARootWithoutALineOpensAndSaysWhatToDo(t *testing.T) {
	r := newRig(t).open()
	if found, err := r.wire.Probes(t.Context()); err != nil || len(found) != 0 {
		t.Errorf("search: got %v, %v; want none", found, err)
	}
	if !strings.Contains(r.log.String(), "dtoverlay=w1-gpio") {
		t.Errorf("log %q does not name the overlay", &r.log)
	}
}

// Family codes of Linux drivers/w1/w1_family.h; DS18S20 (10h) has another
// scratchpad, DS2413 (3Ah) no temperature.
func TestThermometersAreFoundInOrderAndNothingElse(t *testing.T) {
	r := newRig(t)
	for _, name := range []string{
		"3b-000000000001", "28-00001010d6ca", "22-000000000009", "28-00000bbb9b13",
		"10-000000000001", "3a-000000000001", "28-short", "28-00000bbb9b1g", "readme",
	} {
		r.put("", name, "w1_slave")
	}
	r.put("", "w1_bus_master1", "w1_master_slaves")
	found, err := r.open().wire.Probes(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, a := range found {
		got = append(got, a.String())
	}
	want := []string{"22-000000000009", "28-00000bbb9b13", "28-00001010d6ca", "3b-000000000001"}
	if !slices.Equal(got, want) {
		t.Errorf("found %v, want %v", got, want)
	}
}

func TestAProbeWithoutAFolderIsAbsentAndTheOthersAreRead(t *testing.T) {
	r := newRig(t)
	r.slave(oil, text27_5)
	samples := r.open().read(bath, oil)
	wantReading(t, "missing", samples[0].Reading, sensors.Failed(sensors.Absent))
	wantReading(t, "other", samples[1].Reading, sensors.AtCelsius(27.5))
	if samples[0].Scratchpad != [9]byte{} {
		t.Errorf("missing: scratchpad % x, want none", samples[0].Scratchpad)
	}
	if want := [9]byte{0xB8, 0x01, 0x4B, 0x46, 0x7F, 0xFF, 0x08, 0x10, 0x8A}; samples[1].Scratchpad != want {
		t.Errorf("other: scratchpad % x, want % x", samples[1].Scratchpad, want)
	}
}

func TestAFolderWithoutItsFileIsAbsent(t *testing.T) {
	r := newRig(t)
	r.put("", oil.String(), "name")
	r.open().want("no w1_slave", oil, sensors.Failed(sensors.Absent))
}

func TestAnAddressAskedForTwiceIsReadOnce(t *testing.T) {
	r := newRig(t)
	r.slave(oil, text27_5)
	samples := r.open().read(oil, bath, oil)
	if samples[0] != samples[2] || !samples[0].Reading.OK() {
		t.Errorf("got %+v and %+v, want the same twice", samples[0], samples[2])
	}
}

func TestTheSupplyIsToldIfTheKernelKnowsIt(t *testing.T) {
	for _, c := range []struct {
		text            string
		parasite, known bool
	}{
		{"0\n", true, true},
		{"1\n", false, true},
		{"", false, false},
		{"-5\n", false, false}, // a kernel's error number
	} {
		r := newRig(t)
		r.slave(oil, text27_5)
		r.put(c.text, oil.String(), "ext_power")
		if s := r.open().read(oil)[0]; s.Parasite != c.parasite || s.PowerKnown != c.known {
			t.Errorf("%q: parasite %v, known %v; want %v, %v", c.text, s.Parasite, s.PowerKnown, c.parasite, c.known)
		}
	}
	r := newRig(t)
	r.slave(oil, text27_5)
	if r.open().read(oil)[0].PowerKnown {
		t.Error("no file: the supply is known")
	}
}

// Asking costs the wire a question, so that it is done again only after a fault
// that a broken supply wire may cause.
func TestTheSupplyIsAskedForAgainAfterARestart(t *testing.T) {
	r := newRig(t)
	r.slave(oil, text27_5)
	r.put("1\n", oil.String(), "ext_power")
	r.open().read(oil)
	r.put("0\n", oil.String(), "ext_power")
	if r.read(oil)[0].Parasite {
		t.Error("asked again without a reason")
	}
	r.slave(oil, textPowerOn)
	r.want("restarted", oil, sensors.Failed(sensors.PowerOn))
	r.slave(oil, text27_5)
	if !r.read(oil)[0].Parasite {
		t.Error("not asked again after a restart")
	}
}

// files returns every file below dir with its text.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || !e.Type().IsRegular() {
			return err
		}
		text, err := os.ReadFile(path)
		found[path] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func TestNothingIsWrittenButTheBulkTrigger(t *testing.T) {
	for _, bulk := range []bool{true, false} {
		r := newRig(t)
		r.link("w1_bus_master1", oil)
		r.slave(oil, text27_5)
		r.put("1\n", oil.String(), "ext_power")
		r.put("12\n", oil.String(), "resolution")
		trigger := filepath.Join(r.root, "w1_bus_master1", "therm_bulk_read")
		if bulk {
			r.put("0\n", "w1_bus_master1", "therm_bulk_read")
		}
		want := files(t, r.root)
		if bulk {
			want[trigger] = "trigger\n"
		}
		r.open().want("good", oil, sensors.AtCelsius(27.5))
		if got := files(t, r.root); !maps.Equal(got, want) {
			t.Errorf("bulk %v: the files are now\n%q\nwant\n%q", bulk, got, want)
		}
	}
}

func TestInATreeWithoutLinksTheOnlyLineIsTheOne(t *testing.T) {
	r := newRig(t)
	r.slave(oil, text27_5)
	r.put("0\n", "w1_bus_master1", "therm_bulk_read")
	r.open().read(oil)
	if got := files(t, r.root)[filepath.Join(r.root, "w1_bus_master1", "therm_bulk_read")]; got != "trigger\n" {
		t.Errorf("therm_bulk_read got %q, want the trigger", got)
	}
}

// A folder cannot be written to, not even by root.
func TestABulkFileThatRefusesIsToldOnceAndReadingGoesOn(t *testing.T) {
	r := newRig(t)
	r.link("w1_bus_master1", oil)
	r.slave(oil, text27_5)
	r.put("", "w1_bus_master1", "therm_bulk_read", "folder")
	r.open()
	for range 3 {
		r.want("good", oil, sensors.AtCelsius(27.5))
	}
	if n := strings.Count(r.log.String(), "no common conversion"); n != 1 {
		t.Errorf("told %d times, want once:\n%s", n, &r.log)
	}
}

func TestAFaultIsLoggedWhenItComesAndWhenItGoes(t *testing.T) {
	r := newRig(t)
	r.slave(oil, text27_5)
	r.open().read(oil)
	for range 2 {
		r.slave(oil, "")
		r.read(oil)
		r.read(oil)
		r.slave(oil, text27_5)
		r.read(oil)
	}
	if n := strings.Count(r.log.String(), "probe changed"); n != 4 {
		t.Errorf("%d lines, want 4:\n%s", n, &r.log)
	}
}

package w1_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bainward/sensors"
	"bainward/sensors/w1"
)

const fixtures = "../../testdata/w1"

// fixture is the text of one w1_slave and what it means.
type fixture struct {
	name string
	text []byte
	want sensors.Reading
}

// loadFixtures reads every w1_slave file with its line in WANT. It fails if there
// are none, and if a file has no line or a line no file.
func loadFixtures(t testing.TB) []fixture {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(fixtures, "*.w1_slave"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no *.w1_slave in %s (%v)", fixtures, err)
	}
	wants := loadWants(t)
	var all []fixture
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".w1_slave")
		want, known := wants[name]
		if !known {
			t.Fatalf("%s: WANT has no line for it", path)
		}
		delete(wants, name)
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, fixture{name, text, want})
	}
	for name := range wants {
		t.Fatalf("WANT: %s has no file", name)
	}
	return all
}

// loadWants reads WANT: a name, then °C or a fault's code, then free text.
func loadWants(t testing.TB) map[string]sensors.Reading {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(fixtures, "WANT"))
	if err != nil {
		t.Fatal(err)
	}
	wants := map[string]sensors.Reading{}
	for i, line := range strings.Split(string(text), "\n") {
		fields := strings.Fields(line)
		if len(fields) == 0 || fields[0] == "#" {
			continue
		}
		if len(fields) < 3 {
			t.Fatalf("WANT line %d: want a name, a meaning and where it comes from", i+1)
		}
		want, err := parseWant(fields[1])
		if _, twice := wants[fields[0]]; twice || err != nil {
			t.Fatalf("WANT line %d: listed twice, or %v", i+1, err)
		}
		wants[fields[0]] = want
	}
	return wants
}

func parseWant(word string) (sensors.Reading, error) {
	if celsius, err := strconv.ParseFloat(word, 64); err == nil {
		return sensors.AtCelsius(celsius), nil
	}
	for f := sensors.NotFitted; f <= sensors.Jumped; f++ {
		if f.Code() == word {
			return sensors.Failed(f), nil
		}
	}
	return sensors.Reading{}, fmt.Errorf("%q is neither °C nor the code of a fault", word)
}

func TestEveryFormOfTheKernelsFileMeansWhatIsListed(t *testing.T) {
	for _, f := range loadFixtures(t) {
		t.Run(f.name, func(t *testing.T) {
			r := newRig(t)
			r.slave(oil, string(f.text))
			r.open().want("first reading", oil, f.want)
		})
	}
}

// The second line holds older bytes and a temperature computed from who knows
// which; whatever stands there changes nothing.
func TestTheSecondLineIsNotUsed(t *testing.T) {
	for _, f := range loadFixtures(t) {
		first, _, _ := strings.Cut(string(f.text), "\n")
		if first == "" {
			continue
		}
		pad, fault := w1.ParseSlave(f.text)
		for _, second := range []string{"", "\n", "\n00 00 00 00 00 00 00 00 00 t=12345\n", "\n" + text27_5} {
			otherPad, otherFault := w1.ParseSlave([]byte(first + second))
			if otherPad != pad || otherFault != fault {
				t.Errorf("%s: with %q after it: % x (%v), want % x (%v)", f.name, second, otherPad, otherFault, pad, fault)
			}
		}
	}
}

func BenchmarkParseSlave(b *testing.B) {
	text := []byte(text27_5)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, fault := w1.ParseSlave(text); fault != sensors.NoFault {
			b.Fatal(fault)
		}
	}
}

package metrics_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"bainward/daemon/metrics"
	"bainward/rules/fold"
)

// outwardNames are the families of testdata/outward.txt.
func outwardNames(t *testing.T) (want []byte, names []string) {
	t.Helper()
	want, err := os.ReadFile(filepath.Join("testdata", "outward.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range regexp.MustCompile(`(?m)^# TYPE (\S+)`).FindAllSubmatch(want, -1) {
		names = append(names, string(m[1]))
	}
	if len(names) != 10 {
		t.Fatalf("testdata/outward.txt names %d families, want 10", len(names))
	}
	return want, names
}

// A way that never worked has no time; all else of what is configured is told.
func TestHowPeopleAreReachedIsTold(t *testing.T) {
	want, names := outwardNames(t)
	reg, _ := scrapeOutward(t, calling(), simmering())
	if err := testutil.GatherAndCompare(reg, bytes.NewReader(want), names...); err != nil {
		t.Error(err)
	}
}

// A zero in place of nothing would let "not ready" page a site that calls nobody.
func TestWhatIsNotConfiguredHasNoSeries(t *testing.T) {
	_, names := outwardNames(t)
	silent, _ := scrapeOutward(t, metrics.Outward{}, simmering())
	without := prometheus.NewPedanticRegistry()
	_, err := metrics.New(metrics.Options{
		Registerer: without, Snapshots: func() []fold.Snapshot { return []fold.Snapshot{simmering()} }, Version: "1.2.3",
	})
	if err != nil {
		t.Fatal(err)
	}
	for how, reg := range map[string]*prometheus.Registry{"nothing configured": silent, "no Outward": without} {
		if n, err := testutil.GatherAndCount(reg, names...); err != nil || n != 0 {
			t.Errorf("%s: %d samples, error %v; want none", how, n, err)
		}
	}
}

// A site may have a cut-out and call nobody.
func TestACutoutAloneHasItsOwnSeriesOnly(t *testing.T) {
	_, names := outwardNames(t)
	reg, _ := scrapeOutward(t, metrics.Outward{Cutouts: []metrics.Cutout{{Bath: "north", Allowed: true}}})
	if n, err := testutil.GatherAndCount(reg, names...); err != nil || n != 2 {
		t.Errorf("%d samples, error %v; want allowed and tripped", n, err)
	}
}

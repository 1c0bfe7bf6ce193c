package metrics_test

import (
	"bufio"
	"bytes"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"bainward/sensors"
)

// everything is a registry on which each family has a sample.
func everything(t *testing.T) *prometheus.Registry {
	t.Helper()
	full := simmering()
	full.Bath = "full"
	full.Estimate.HerbWaterKg, full.Estimate.HerbGone = full.Estimate.WaterKg, true
	full.Estimate.DishWPerK = full.Estimate.HeatW
	full.Asks, full.AskedKg = true, 0.4
	reg, m := scrapeOutward(t, calling(), simmering(), full)
	m.ProbeFault("north", sensors.Bath, sensors.BadCRC)
	m.PlaceFault("fridge", sensors.BadCRC)
	m.AnnouncementsDropped("mqtt", 1)
	m.PollDone(time.Second)
	m.CommitDone(time.Second)
	return reg
}

// expose returns what a scraper that accepts accept is sent.
func expose(t *testing.T, reg *prometheus.Registry, accept string) (body []byte, contentType string) {
	t.Helper()
	h := promhttp.HandlerFor(reg, promhttp.HandlerOpts{EnableOpenMetrics: true})
	r := httptest.NewRequest(http.MethodGet, "/metrics", nil)
	r.Header.Set("Accept", accept)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != http.StatusOK {
		t.Fatalf("GET /metrics: %d %s", w.Code, w.Body)
	}
	return w.Body.Bytes(), w.Header().Get("Content-Type")
}

func TestNamesPassThePrometheusLinter(t *testing.T) {
	problems, err := testutil.GatherAndLint(everything(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		t.Errorf("%s: %s", p.Metric, p.Text)
	}
}

func TestNamesPassPromtool(t *testing.T) {
	promtool := needs(t, "promtool")
	body, _ := expose(t, everything(t), "text/plain")
	cmd := exec.Command(promtool, "check", "metrics")
	cmd.Stdin = bytes.NewReader(body)
	if out, err := cmd.CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("promtool check metrics: %v\n%s", err, out)
	}
}

// The grammar is that of OpenMetrics 1.0, section "Overall Structure" and
// "ABNF": metricname, label-name, # TYPE/# HELP lines, # EOF at the end, LF only.
func TestExpositionKeepsToTheOpenMetricsGrammar(t *testing.T) {
	body, contentType := expose(t, everything(t), "application/openmetrics-text; version=1.0.0; charset=utf-8")
	if got, want := contentType, "application/openmetrics-text; version=1.0.0; charset=utf-8"; !strings.HasPrefix(got, want) {
		t.Errorf("content type %q, want %q", got, want)
	}
	if !bytes.HasSuffix(body, []byte("# EOF\n")) || bytes.ContainsRune(body, '\r') || bytes.HasPrefix(body, []byte("\xEF\xBB\xBF")) {
		t.Error("the exposition must end in # EOF and LF, without CR and without a byte order mark")
	}
	const (
		name  = `[A-Za-z_:][A-Za-z0-9_:]*`
		label = `[A-Za-z_][A-Za-z0-9_]*="(?:[^"\\\n]|\\[n"\\])*"`
		value = `-?(?:[0-9.]+(?:e[-+]?[0-9]+)?)`
	)
	sample := regexp.MustCompile(`^(` + name + `)(?:\{(?:` + label + `(?:,` + label + `)*)?\})? ` + value + `$`)
	meta := regexp.MustCompile(`^# (?:(?:HELP|UNIT) ` + name + ` .*|TYPE ` + name + ` (?:counter|gauge|histogram)|EOF)$`)
	samples := 0
	for lines := bufio.NewScanner(bytes.NewReader(body)); lines.Scan(); {
		line := lines.Text()
		switch m := sample.FindStringSubmatch(line); {
		case m != nil && strings.HasPrefix(m[1], "bainward_"):
			samples++
		case !meta.MatchString(line):
			t.Errorf("line %q is neither a sample of bainward nor metadata", line)
		}
	}
	if samples < 100 {
		t.Errorf("read only %d samples", samples)
	}
}

func TestCountersEndInTotalInOpenMetrics(t *testing.T) {
	body, _ := expose(t, everything(t), "application/openmetrics-text; version=1.0.0; charset=utf-8")
	counters := regexp.MustCompile(`(?m)^# TYPE (\S+) counter$`).FindAllSubmatch(body, -1)
	if len(counters) != 6 {
		t.Fatalf("found %d counters, want 6", len(counters))
	}
	for _, c := range counters {
		sample := append(append([]byte("\n"), c[1]...), "_total"...)
		if !bytes.Contains(body, append(sample, '{')) && !bytes.Contains(body, append(sample, ' ')) {
			t.Errorf("counter %s has no sample that ends in _total", c[1])
		}
	}
}

// A rule on a metric that is spelt otherwise here would never fire, and a console
// would show nothing.
func TestEveryMetricInRulesAndConsolesExists(t *testing.T) {
	body, _ := expose(t, everything(t), "text/plain")
	var files []string
	for _, pattern := range []string{"*.*", filepath.Join("consoles", "*")} {
		some, err := filepath.Glob(filepath.Join("..", "..", "dashboards", "prometheus", pattern))
		if err != nil || len(some) == 0 {
			t.Fatalf("nothing is called %s (%v)", pattern, err)
		}
		files = append(files, some...)
	}
	found := 0
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range regexp.MustCompile(`\bbainward_[a-z_]+`).FindAll(text, -1) {
			found++
			if !bytes.Contains(body, append([]byte("\n"), append(name, '{')...)) && !bytes.Contains(body, append([]byte("\n"), append(name, ' ')...)) {
				t.Errorf("%s: no metric is called %s", file, name)
			}
		}
	}
	if found == 0 {
		t.Fatal("no metric is named under dashboards/prometheus")
	}
}

// needs returns the path of a program of the test. Without it the test is
// skipped, and fails where everything must be tested (CI=true).
func needs(t *testing.T, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is missing (Debian: apt-get install prometheus)", program)
	}
	t.Skipf("%s is missing", program)
	return ""
}

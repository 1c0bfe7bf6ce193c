package metrics_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// A real Prometheus server scrapes the metrics, loads the alert rules of
// dashboards/prometheus and fires on a bath that is over its ceiling.
func TestARealPrometheusScrapesAndAlerts(t *testing.T) {
	program := needs(t, "prometheus")
	burning := simmering()
	burning.Celsius[0] = burning.CeilingC + 5
	reg, _ := scrape(t, burning)
	target := httptest.NewServer(promhttp.HandlerFor(reg, promhttp.HandlerOpts{EnableOpenMetrics: true}))
	defer target.Close()

	api := startPrometheus(t, program, target.Listener.Addr().String())
	temperature := api.await(t, `bainward_temperature_celsius{bath="north",role="oil"}`)
	if temperature != "105.6" {
		t.Errorf("Prometheus read %s °C, want 105.6", temperature)
	}
	if firing := api.await(t, `ALERTS{alertname="BainwardOverheating",bath="north",alertstate="firing"}`); firing != "1" {
		t.Errorf("the alert's value is %s, want 1", firing)
	}
}

// The console shows the bath as it is and the batch with its hold, its hottest oil
// and its alarm, on a real Prometheus server.
func TestARealPrometheusServesTheBatchHistory(t *testing.T) {
	program := needs(t, "prometheus")
	reg, _ := scrape(t, simmering())
	target := httptest.NewServer(promhttp.HandlerFor(reg, promhttp.HandlerOpts{EnableOpenMetrics: true}))
	defer target.Close()

	api := startPrometheus(t, program, target.Listener.Addr().String())
	api.await(t, `max_over_time(timestamp(bainward_batch_info)[1d:1s])`)
	page := api.page(t, "/consoles/baths.html?days=1")
	for _, want := range []string{
		"2026-03-01-north-1", "ribwort-fresh", "holding", "91.8 °C", "no reading", "99.6 °C", "15m 0s",
		"52m 0s</td>", "52m 0s of 2h 0m 0s", "92.5 °C", ">open<", "top-up-due",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the console does not say %q", want)
		}
	}
	if strings.Contains(page, "error executing template") {
		t.Error("the template failed")
	}
	if file := os.Getenv("BAINWARD_CONSOLE"); file != "" {
		if err := os.WriteFile(file, []byte(page), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// page returns a page of the server.
func (p promAPI) page(t *testing.T, path string) string {
	t.Helper()
	req, err := http.NewRequestWithContext(p.ctx, http.MethodGet, p.base+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusOK {
		t.Fatalf("GET %s: %s, %v\n%s", path, resp.Status, err, body)
	}
	return string(body)
}

// promAPI is the query address of a running server.
type promAPI struct {
	ctx  context.Context
	base string
}

func startPrometheus(t *testing.T, program, target string) promAPI {
	t.Helper()
	dir := t.TempDir()
	rules, err := filepath.Abs(filepath.Join("..", "..", "dashboards", "prometheus", "alerts.yml"))
	if err != nil {
		t.Fatal(err)
	}
	config := fmt.Sprintf(`
global: {scrape_interval: 1s, scrape_timeout: 1s}
rule_files: [%q]
scrape_configs:
  - job_name: bainward
    static_configs: [{targets: [%q]}]
`, rules, target)
	file := filepath.Join(dir, "prometheus.yml")
	if err := os.WriteFile(file, []byte(config), 0o600); err != nil {
		t.Fatal(err)
	}
	listen := freeAddress(t)
	ctx, cancel := context.WithTimeout(t.Context(), 90*time.Second)
	log := &strings.Builder{}
	cmd := exec.CommandContext(ctx, program, "--config.file="+file,
		"--storage.tsdb.path="+filepath.Join(dir, "data"), "--web.listen-address="+listen,
		"--web.console.templates="+filepath.Join(filepath.Dir(rules), "consoles"), "--web.console.libraries="+dir)
	cmd.Stdout, cmd.Stderr = log, log
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cancel()
		_ = cmd.Wait() // killed
		if t.Failed() {
			t.Logf("prometheus said:\n%s", log)
		}
	})
	return promAPI{ctx: ctx, base: "http://" + listen}
}

// await asks until the query has an answer and returns its first value.
func (p promAPI) await(t *testing.T, query string) string {
	t.Helper()
	again := time.NewTicker(100 * time.Millisecond)
	defer again.Stop()
	for {
		if value, ok := p.ask(query); ok {
			return value
		}
		select {
		case <-p.ctx.Done():
			t.Fatalf("Prometheus had no answer to %s in time", query)
		case <-again.C:
		}
	}
}

func (p promAPI) ask(query string) (value string, ok bool) {
	req, err := http.NewRequestWithContext(p.ctx, http.MethodGet, p.base+"/api/v1/query?query="+url.QueryEscape(query), nil)
	if err != nil {
		return "", false
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return "", false // not up yet
	}
	defer resp.Body.Close()
	var answer struct {
		Data struct {
			Result []struct {
				Value [2]any `json:"value"` // time, value as text
			} `json:"result"`
		} `json:"data"`
	}
	if json.NewDecoder(resp.Body).Decode(&answer) != nil || len(answer.Data.Result) == 0 {
		return "", false
	}
	value, ok = answer.Data.Result[0].Value[1].(string)
	return value, ok
}

// freeAddress returns a loopback address that was free a moment ago.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// Package prometheus_test holds the rules of this folder to their tests. The
// folder has no program of its own: it is loaded by Prometheus.
package prometheus_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

func TestTheAlertRulesAreWellFormed(t *testing.T) {
	promtool(t, "check", "rules", "alerts.yml")
}

func TestTheAlertRulesFireWhenTheyShould(t *testing.T) {
	promtool(t, "test", "rules", "alerts_test.yml", "alerts_places_test.yml")
}

// A rule without a story in one of the two could be broken unseen.
func TestEveryAlertRuleHasATest(t *testing.T) {
	rules, tests := read(t, "alerts.yml"), read(t, "alerts_test.yml")+read(t, "alerts_places_test.yml")
	found := 0
	for line := range strings.Lines(rules) {
		name, isAlert := strings.CutPrefix(strings.TrimSpace(line), "- alert: ")
		if !isAlert {
			continue
		}
		found++
		if !strings.Contains(tests, "alertname: "+name+"\n") {
			t.Errorf("no test lets %s fire", name)
		}
	}
	if found == 0 {
		t.Error("alerts.yml holds no alert")
	}
}

func read(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// promtool runs promtool. Without it the test is skipped, and fails where
// everything must be tested (CI=true).
func promtool(t *testing.T, args ...string) {
	t.Helper()
	path, err := exec.LookPath("promtool")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("promtool is missing (Debian: apt-get install prometheus)")
		}
		t.Skip("promtool is missing")
	}
	if out, err := exec.Command(path, args...).CombinedOutput(); err != nil {
		t.Errorf("promtool %s: %v\n%s", strings.Join(args, " "), err, out)
	}
}

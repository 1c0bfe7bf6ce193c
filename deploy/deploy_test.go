// Package deploy_test holds the examples of this folder to the programs that
// will read them.
package deploy_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The unit is checked with another program in the place of bainward, because
// systemd-analyze wants to find it installed.
func TestTheUnitPassesSystemd(t *testing.T) {
	program := needs(t, "systemd-analyze", "systemd")
	text := read(t, "bainward.service")
	if !strings.Contains(text, "ExecStart=/usr/bin/bainward watch --site /etc/bainward/site.toml\n") {
		t.Error("the unit does not start bainward where README.md installs it")
	}
	text = strings.Replace(text, "ExecStart=/usr/bin/bainward", "ExecStart=/bin/true", 1)
	text = regexp.MustCompile(`(?m)^Documentation=.*$`).ReplaceAllString(text, "")
	unit := filepath.Join(t.TempDir(), "bainward.service")
	write(t, unit, text)
	out, err := exec.Command(program, "verify", unit).CombinedOutput()
	if err != nil || len(out) > 0 {
		t.Errorf("systemd-analyze verify: %v\n%s", err, out)
	}
}

// Every line that takes something away says why, so that nobody has to guess
// which may be given back.
func TestEveryLineOfTheUnitHasAReason(t *testing.T) {
	reasoned, settings := false, 0
	key := ""
	for line := range strings.Lines(read(t, "bainward.service")) {
		line = strings.TrimSpace(line)
		switch {
		case line == "" || strings.HasPrefix(line, "["):
			reasoned, key = strings.HasPrefix(line, "["), ""
		case strings.HasPrefix(line, "#"):
			reasoned, key = true, ""
		default:
			settings++
			name, _, _ := strings.Cut(line, "=")
			if !reasoned {
				t.Errorf("%q has no comment above it", line)
			}
			// A comment stands for the lines right below it.
			if key != "" && !related(key, name) {
				t.Errorf("%q stands below the reason of %q", line, key)
			}
			key = name
		}
	}
	if settings < 30 {
		t.Errorf("found only %d settings", settings)
	}
}

// related tells which settings share one comment.
func related(a, b string) bool {
	for _, group := range []string{
		"Description Documentation", "WantedBy", "User Group", "StateDirectory StateDirectoryMode",
		"ConfigurationDirectory ConfigurationDirectoryMode", "Restart RestartSec", "ReadWritePaths",
		"DevicePolicy DeviceAllow", "CapabilityBoundingSet AmbientCapabilities",
		"SystemCallArchitectures SystemCallFilter SystemCallErrorNumber", "ExecStart WatchdogSec",
	} {
		if words := strings.Fields(group); slices.Contains(words, a) && slices.Contains(words, b) {
			return true
		}
	}
	return false
}

func TestTheUserPassesSystemd(t *testing.T) {
	program := needs(t, "systemd-sysusers", "systemd")
	file, err := filepath.Abs("bainward.sysusers")
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "--dry-run", "--root", t.TempDir(), file).CombinedOutput()
	if err != nil || !strings.Contains(string(out), "Creating user 'bainward'") || !strings.Contains(string(out), "Creating group 'i2c'") {
		t.Errorf("systemd-sysusers: %v\n%s", err, out)
	}
}

func TestPrometheusTakesItsConfiguration(t *testing.T) {
	program := needs(t, "promtool", "prometheus")
	rules, err := filepath.Abs(filepath.Join("..", "dashboards", "prometheus", "alerts.yml"))
	if err != nil {
		t.Fatal(err)
	}
	const installed = "/etc/prometheus/bainward/alerts.yml"
	text := read(t, "prometheus.yml")
	if !strings.Contains(text, "- "+installed+"\n") {
		t.Fatalf("the configuration does not load %s", installed)
	}
	config := filepath.Join(t.TempDir(), "prometheus.yml")
	write(t, config, strings.Replace(text, installed, rules, 1))
	if out, err := exec.Command(program, "check", "config", config).CombinedOutput(); err != nil {
		t.Errorf("promtool check config: %v\n%s", err, out)
	}
}

// The program itself reads the example, as everybody will.
func TestTheSiteFileIsRightAndMeansAlderYard(t *testing.T) {
	cmd := exec.Command("go", "run", "../daemon", "check-site", "site.toml")
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "Alder Yard, 120 m above sea level") {
		t.Errorf("bainward check-site: %v\n%s", err, out)
	}
}

func TestEveryKeyOfTheSiteFileIsExplained(t *testing.T) {
	example := read(t, "site.toml")
	documented := read(t, filepath.Join("..", "daemon", "site", "document.go"))
	keys := regexp.MustCompile("`toml:\"([a-z_]+)\"`").FindAllStringSubmatch(documented, -1)
	if len(keys) < 40 {
		t.Fatalf("document.go holds only %d keys", len(keys))
	}
	for _, k := range keys {
		if !regexp.MustCompile(`(?m)\b` + k[1] + `\b`).MatchString(example) {
			t.Errorf("site.toml says nothing of %s", k[1])
		}
	}
}

func TestEveryFileOfTheFolderIsInItsReadme(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	readme := read(t, "README.md")
	for _, f := range files {
		own := f.Name() == "README.md" || strings.HasSuffix(f.Name(), "_test.go")
		if !own && !strings.Contains(readme, f.Name()) {
			t.Errorf("README.md does not name %s", f.Name())
		}
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

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// needs returns the path of a program of a Debian package. Without it the test
// is skipped, and fails where everything must be tested (CI=true).
func needs(t *testing.T, program, debian string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is missing (Debian: apt-get install %s)", program, debian)
	}
	t.Skipf("%s is missing", program)
	return ""
}

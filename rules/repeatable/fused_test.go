package repeatable_test

import (
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// fused matches a line of the compiler's arm64 listing that holds a fused
// multiply-add, scalar or vector, single or double: the file and line, and the
// instruction.
var fused = regexp.MustCompile(`\(([^()]+:\d+)\)\s+(FN?M(?:ADD|SUB)[SD]|VFML[AS])\b`)

// TestCoreHasNoFusedInstruction compiles the core for arm64, where the compiler
// turns x*y + z into one instruction with one rounding wherever it may. Such
// a line would give other findings on a Pi than on an auditor's amd64 machine.
func TestCoreHasNoFusedInstruction(t *testing.T) {
	if testing.Short() {
		t.Skip("builds for another processor")
	}
	listing := arm64Listing(t, "bainward/rules/...", "bainward/rules/...")
	if !strings.Contains(listing, "FMULD") || !strings.Contains(listing, "repeatable/exp.go:") {
		t.Fatal("the listing holds no multiplication of rules/repeatable: was it made for arm64?")
	}
	seen := map[string]bool{}
	for _, m := range fused.FindAllStringSubmatch(listing, -1) {
		if where := m[1] + ": " + m[2]; !seen[where] {
			seen[where] = true
			t.Errorf("%s: write float64(x*y) + z", where)
		}
	}
}

// TestFusedInstructionIsFound shows that the test above can fail: package math
// is full of them.
func TestFusedInstructionIsFound(t *testing.T) {
	if testing.Short() {
		t.Skip("builds for another processor")
	}
	if !fused.MatchString(arm64Listing(t, "math", "math")) {
		t.Error("found no fused instruction in package math: has the listing another form?")
	}
}

// arm64Listing returns the compiler's listing of the packages that match.
func arm64Listing(t *testing.T, match, build string) string {
	t.Helper()
	c := exec.Command("go", "build", "-gcflags="+match+"=-S", build)
	c.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS=linux", "GOARCH=arm64")
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("build %s for arm64: %v\n%s", build, err, lastLines(string(out), 20))
	}
	return string(out)
}

func lastLines(s string, n int) string {
	lines := strings.Split(s, "\n")
	return strings.Join(lines[max(0, len(lines)-n):], "\n")
}

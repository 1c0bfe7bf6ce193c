package repeatable_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestOtherProcessorsComputeTheSameBits runs the test TestSameBits of every room
// of the core that has one on the processors of the Raspberry Pis, under
// qemu-user: arm64 fuses and has its own assembly, arm is the oldest Pi.
func TestOtherProcessorsComputeTheSameBits(t *testing.T) {
	if testing.Short() {
		t.Skip("builds for other processors")
	}
	for _, m := range []struct{ name, qemu, goarch, goarm string }{
		{"arm64", "qemu-aarch64-static", "arm64", ""},
		{"arm", "qemu-arm-static", "arm", "6"},
	} {
		t.Run(m.name, func(t *testing.T) {
			qemu, err := exec.LookPath(m.qemu)
			needs(t, err)
			for _, room := range roomsWithTranscript(t) {
				program := filepath.Join(t.TempDir(), "room.test")
				build := exec.Command("go", "test", "-c", "-o", program, ".")
				build.Dir = room
				build.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS=linux", "GOARCH="+m.goarch, "GOARM="+m.goarm)
				if m.goarm == "" {
					build.Env = build.Env[:len(build.Env)-1]
				}
				if out, err := build.CombinedOutput(); err != nil {
					t.Errorf("build %s for %s: %v\n%s", room, m.name, err, out)
					continue
				}
				run := exec.Command(qemu, program, "-test.run=^TestSameBits$", "-test.v")
				run.Dir = room
				out, err := run.CombinedOutput()
				if err != nil || !strings.Contains(string(out), "--- PASS: TestSameBits") {
					t.Errorf("%s on %s: %v\n%s", room, m.name, err, out)
				}
			}
		})
	}
}

// roomsWithTranscript returns the folders of rules/ whose tests have a
// TestSameBits.
func roomsWithTranscript(t *testing.T) []string {
	t.Helper()
	var rooms []string
	for _, file := range coreFiles(t, true) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(text), "\nfunc TestSameBits(") {
			rooms = append(rooms, filepath.Dir(file))
		}
	}
	if len(rooms) == 0 {
		t.Fatal(fmt.Errorf("no room of rules/ has a TestSameBits"))
	}
	return rooms
}

package push

import (
	"errors"
	"os"
	"os/exec"
	"syscall"
	"testing"
)

// mustDie runs this test binary again, to be killed by itself.
func mustDie(t *testing.T, dir string) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), self, "-test.run=^TestAKillWhileWritingLeavesTheOldList$")
	c.Env = append(os.Environ(), dieIn+"="+dir)
	out, err := c.CombinedOutput()
	ended, ok := errors.AsType[*exec.ExitError](err)
	if !ok {
		t.Fatalf("it lives: %v\n%s", err, out)
	}
	if s, ok := ended.Sys().(syscall.WaitStatus); !ok || s.Signal() != syscall.SIGKILL {
		t.Fatalf("it did not die of the kill: %v\n%s", err, out)
	}
}

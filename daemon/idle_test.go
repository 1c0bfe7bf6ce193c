package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// kernelTree writes a folder of the kernel's 1-Wire files in which every probe
// that the demo's site names answers 19.8125 °C.
func kernelTree(t testing.TB, dir string) string {
	t.Helper()
	root := filepath.Join(dir, "w1")
	for _, a := range []string{"28-00000bbb9b13", "28-000005fba71c", "28-00000a1d3c55", "28-000007c2e940", "28-0000088d10b2", "28-00000a1d3c77"} {
		if err := os.MkdirAll(filepath.Join(root, a), 0o700); err != nil {
			t.Fatal(err)
		}
		const answer = "3d 01 4b 46 7f ff 03 10 6d : crc=6d YES\n3d 01 4b 46 7f ff 03 10 6d t=19812\n"
		if err := os.WriteFile(filepath.Join(root, a, "w1_slave"), []byte(answer), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

// TestIdleCost prints what the daemon costs that watches two idle baths at a
// poll a second. It asserts nothing, for it depends on the machine, and runs
// with -v only:
//
//	go test ./daemon -run TestIdleCost -v
func TestIdleCost(t *testing.T) {
	if !testing.Verbose() {
		t.Skip("it only prints figures; run it with -v")
	}
	const warm, lasts = 3 * time.Second, 15 * time.Second
	dir := t.TempDir()
	child := exec.Command(buildProgram(t, dir), "watch", "--site", storySite(t, dir), "--root", kernelTree(t, dir),
		"--record", filepath.Join(dir, "record"), "--listen", "127.0.0.1:0")
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = child.Process.Signal(syscall.SIGTERM)
		if err := child.Wait(); err != nil {
			t.Errorf("the daemon ended with %v", err)
		}
	}()
	if words := bufio.NewScanner(out); !words.Scan() {
		t.Fatal("the daemon said nothing")
	}
	<-time.After(warm)
	cpu, began := cpuOf(t, child.Process.Pid), time.Now()
	<-time.After(lasts)
	used := cpuOf(t, child.Process.Pid) - cpu
	t.Logf("two idle baths at 1 Hz: %.1f MB resident, %.2f %% of one core over %s",
		residentOf(t, child.Process.Pid), 100*used.Seconds()/time.Since(began).Seconds(), lasts)
}

// cpuOf returns the processor time that a process has used: fields 14 and 15 of
// /proc/PID/stat, in ticks of which Linux shows 100 a second (proc_pid_stat(5)).
func cpuOf(t *testing.T, pid int) time.Duration {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		t.Fatal(err)
	}
	fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:]))
	var ticks int64
	for _, f := range fields[11:13] {
		n, err := strconv.ParseInt(f, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		ticks += n
	}
	return time.Duration(ticks) * (time.Second / 100)
}

// residentOf returns the memory that a process holds, MB.
func residentOf(t *testing.T, pid int) float64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "VmRSS:")
	kb, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return kb / 1000 * 1.024
}

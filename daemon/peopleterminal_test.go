package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"bainward/daemon/people"
)

// screen is a terminal (pty(7)) at which a command is given: what a person types goes
// in, and whatever they would see comes out, the echo of the kernel too.
type screen struct {
	t      *testing.T
	master *os.File
	cmd    *exec.Cmd

	mu   sync.Mutex
	seen bytes.Buffer
	more chan struct{}
	gone chan error
}

// openScreen starts bainward with args at a terminal of its own.
func openScreen(t *testing.T, args ...string) *screen {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	t.Cleanup(func() { master.Close() })
	number, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0)
	}
	if err != nil {
		t.Fatal(err)
	}
	terminal, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer terminal.Close()
	s := &screen{t: t, master: master, more: make(chan struct{}, 1), gone: make(chan error, 1)}
	s.cmd = exec.Command("bainward", args...)
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = terminal, terminal, terminal
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true} // so that ctrl-C is a signal
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.cmd.Process.Kill() }) // it has ended, if all is well
	read := make(chan struct{})
	go s.read(read)
	go func() {
		err := s.cmd.Wait()
		<-read
		s.gone <- err
	}()
	return s
}

// read gathers what comes until the other end is closed, which reads as an error.
func (s *screen) read(done chan struct{}) {
	defer close(done)
	b := make([]byte, 4096)
	for {
		n, err := s.master.Read(b)
		s.mu.Lock()
		s.seen.Write(b[:n])
		s.mu.Unlock()
		select {
		case s.more <- struct{}{}:
		default:
		}
		if err != nil {
			return
		}
	}
}

func (s *screen) text() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.seen.String()
}

// await waits until the screen shows words and no key is echoed any more.
func (s *screen) await(words string) {
	s.t.Helper()
	late := time.After(30 * time.Second)
	for !strings.Contains(s.text(), words) || s.echoes() {
		select {
		case <-s.more:
		case <-time.After(10 * time.Millisecond): // nobody tells when the echo is turned off
		case <-late:
			s.t.Fatalf("the screen does not show %q without an echo:\n%s", words, s.text())
		}
	}
}

func (s *screen) echoes() bool {
	state, err := unix.IoctlGetTermios(int(s.master.Fd()), unix.TCGETS)
	return err != nil || state.Lflag&unix.ECHO != 0
}

func (s *screen) types(keys string) {
	s.t.Helper()
	if _, err := s.master.WriteString(keys); err != nil {
		s.t.Fatal(err)
	}
}

// ends waits for the command and returns its exit code, below 0 if a signal ended it.
func (s *screen) ends() int {
	s.t.Helper()
	select {
	case <-s.gone:
	case <-time.After(30 * time.Second):
		s.t.Fatalf("the command does not end:\n%s", s.text())
	}
	return s.cmd.ProcessState.ExitCode()
}

// What a person types for a password is shown nowhere; two that differ, one that is
// too short, and ctrl-C change nothing and leave nothing behind.
func TestAPasswordIsTypedUnseen(t *testing.T) {
	const first, second = "New password of Robin: ", "Once more: "
	for name, c := range map[string]struct {
		typed []string
		code  int
		says  string
		kept  bool
	}{
		"the same twice": {[]string{robinsWords + "\r", robinsWords + "\r"}, exitDone, "Robin has a new password", true},
		"another":        {[]string{robinsWords + "\r", "plum ladder quiet tin\r"}, exitFailed, "the two are not the same; nothing was changed", false},
		"too short":      {[]string{"heron\r"}, exitFailed, "the password is shorter than 10 characters", false},
		"ctrl-C":         {[]string{"kettle her\x03"}, exitFailed, "given up", false},
		"ctrl-C later":   {[]string{robinsWords + "\r", "kettle\x03"}, exitFailed, "given up", false},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			w := workshop{t: t, dir: dir}
			site := w.file("alder.toml", strings.Replace(fmt.Sprintf(deathSite, "Alder Yard", ""), "[broker]\n", "", 1)+"[[person]]\nname = \"Robin\"\nrole = \"keeper\"\n")
			folder := filepath.Join(dir, "record")
			if err := os.Mkdir(folder, 0o700); err != nil {
				t.Fatal(err)
			}
			s := openScreen(t, "people", "set-password", "robin", "--site", site, "--record", folder)
			for i, keys := range c.typed {
				s.await([]string{first, second}[i])
				s.types(keys)
			}
			if code := s.ends(); code != c.code || !strings.Contains(s.text(), c.says) {
				t.Errorf("exit code %d, want %d and %q:\n%s", code, c.code, c.says, s.text())
			}
			for _, typed := range []string{"kettle", "heron", "plum", "tin"} {
				if strings.Contains(s.text(), typed) {
					t.Errorf("the screen shows what was typed:\n%s", s.text())
				}
			}
			if !s.echoes() {
				t.Error("the terminal shows no keys any more")
			}
			left, err := os.ReadDir(folder)
			if err != nil || len(left) > 0 != c.kept {
				t.Errorf("in the folder there is %v, %v", left, err)
			}
			if known, err := people.OpenBook("", folder).Passwords(); err != nil || (len(known) == 1) != c.kept {
				t.Errorf("passwords are known of %v, %v", known, err)
			}
		})
	}
}

package push

import (
	"encoding/base64"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A restart changes nothing: the same key, the same phones, and files that only
// their owner can read.
func TestKeyAndPhonesOutliveARestart(t *testing.T) {
	dir := t.TempDir()
	first, err := Open(dir, subject)
	if err != nil {
		t.Fatal(err)
	}
	if err := first.SignUp("Robin", "kitchen phone", newPhone(t, "https://push.example/a").subscription()); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{keyFile, devicesFile} {
		mustBePrivate(t, filepath.Join(dir, name))
		if err := os.Chmod(filepath.Join(dir, name), 0o644); err != nil { // as out of a careless backup
			t.Fatal(err)
		}
	}
	again, err := Open(dir, subject)
	if err != nil {
		t.Fatal(err)
	}
	if again.key != first.key {
		t.Error("the key is another one")
	}
	if len(octets(t, again.Key())) != 65 {
		t.Errorf("the key %q is no uncompressed point", again.Key())
	}
	if got, want := fmt.Sprint(again.Devices("")), fmt.Sprint(first.Devices("")); got != want || len(again.Devices("Robin")) != 1 {
		t.Errorf("phones %s, want %s", got, want)
	}
	for _, name := range []string{keyFile, devicesFile} {
		mustBePrivate(t, filepath.Join(dir, name))
	}
}

func mustBePrivate(t *testing.T, path string) {
	t.Helper()
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode() != 0o600 {
		t.Errorf("%s has mode %v, want 0600", path, info.Mode())
	}
}

// A damaged file stops the office, is named, and stays as it is: a new key
// would cut off every phone without a word.
func TestADamagedFileIsNamedAndKept(t *testing.T) {
	dir := t.TempDir()
	o, err := Open(dir, subject)
	if err != nil {
		t.Fatal(err)
	}
	if err := o.SignUp("Robin", "", newPhone(t, "https://push.example/a").subscription()); err != nil {
		t.Fatal(err)
	}
	swapped, err := Open(t.TempDir(), subject)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		file string
		edit func(string) string
		todo string
	}{
		{"empty", keyFile, func(string) string { return "" }, "sign up every phone anew"},
		{"torn", keyFile, func(s string) string { return s[:len(s)/2] }, "sign up every phone anew"},
		{"doubled", keyFile, func(s string) string { return s + s }, "sign up every phone anew"},
		{"other half", keyFile, func(s string) string { return strings.Replace(s, o.Key(), swapped.Key(), 1) }, "bring it back from a backup"},
		{"zero key", keyFile, func(s string) string {
			return strings.Replace(s, o.key.secret.Reveal(), base64.RawURLEncoding.EncodeToString(make([]byte, 32)), 1)
		}, "bring it back from a backup"},
		{"unknown word", keyFile, func(s string) string { return strings.Replace(s, "{", `{"colour": 1,`, 1) }, "move it away"},
		{"empty", devicesFile, func(string) string { return "" }, "open the page on every phone"},
		{"torn", devicesFile, func(s string) string { return s[:len(s)/2] }, "open the page on every phone"},
		{"bad endpoint", devicesFile, func(s string) string { return strings.Replace(s, "https", "ftp", 1) }, "device 1"},
	} {
		t.Run(c.file+" "+c.name, func(t *testing.T) {
			path := filepath.Join(dir, c.file)
			whole, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			bad := c.edit(string(whole))
			if bad == string(whole) {
				t.Fatal("nothing is damaged")
			}
			if err := os.WriteFile(path, []byte(bad), 0o600); err != nil {
				t.Fatal(err)
			}
			_, err = Open(dir, subject)
			if err == nil || !strings.Contains(err.Error(), path) || !strings.Contains(err.Error(), c.todo) {
				t.Errorf("the error is %v, want it to name %s and say %q", err, path, c.todo)
			}
			mustHide(t, c.name, err, o.key.secret.Reveal())
			if kept, err := os.ReadFile(path); err != nil || string(kept) != bad {
				t.Errorf("the file was changed: %v", err)
			}
			if err := os.WriteFile(path, whole, 0o600); err != nil {
				t.Fatal(err)
			}
		})
	}
}

// dieIn is the variable that has this test binary open an office in the folder
// it names, and die as it signs a phone up.
const dieIn = "BAINWARD_TEST_DIE_IN"

// A kill between writing and renaming leaves the old list whole, and what lies
// beside it harms no later start.
func TestAKillWhileWritingLeavesTheOldList(t *testing.T) {
	if dir := os.Getenv(dieIn); dir != "" {
		dieWriting(t, dir)
		return
	}
	dir := t.TempDir()
	o, err := Open(dir, subject)
	if err != nil {
		t.Fatal(err)
	}
	if err := o.SignUp("Robin", "first", newPhone(t, "https://push.example/a").subscription()); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(filepath.Join(dir, devicesFile))
	if err != nil {
		t.Fatal(err)
	}
	mustDie(t, dir)
	if _, err := os.Stat(filepath.Join(dir, devicesFile+".new")); err != nil {
		t.Fatalf("it died too early: %v", err)
	}
	if after, err := os.ReadFile(filepath.Join(dir, devicesFile)); err != nil || string(after) != string(before) {
		t.Errorf("the list is %s, want %s; %v", after, before, err)
	}
	again, err := Open(dir, subject)
	if err != nil {
		t.Fatal(err)
	}
	if err := again.SignUp("Robin", "third", newPhone(t, "https://push.example/c").subscription()); err != nil {
		t.Fatal(err)
	}
	if got := again.Devices("Robin"); len(got) != 2 || got[0].Name != "first" || got[1].Name != "third" || again.Key() != o.Key() {
		t.Errorf("after the kill: %v", got)
	}
	if _, err := os.Stat(filepath.Join(dir, devicesFile+".new")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("something was left behind: %v", err)
	}
}

func dieWriting(t *testing.T, dir string) {
	o, err := Open(dir, subject)
	if err != nil {
		t.Fatal(err)
	}
	o.file.rename = func(string, string) error { return syscall.Kill(os.Getpid(), syscall.SIGKILL) }
	t.Fatal(o.SignUp("Robin", "second", newPhone(t, "https://push.example/b").subscription()))
}

// A full disk changes nothing, neither on disk nor in memory, and says so.
func TestADiskThatFailsLeavesTheOldList(t *testing.T) {
	o := openOffice(t)
	if err := o.SignUp("Robin", "first", newPhone(t, "https://push.example/a").subscription()); err != nil {
		t.Fatal(err)
	}
	o.file.rename = func(string, string) error { return syscall.ENOSPC }
	err := o.SignUp("Robin", "second", newPhone(t, "https://push.example/b").subscription())
	_, refused := errors.AsType[*Refusal](err)
	if !errors.Is(err, syscall.ENOSPC) || refused {
		t.Errorf("the error is %v", err)
	}
	if got := o.Devices("Robin"); len(got) != 1 || got[0].Name != "first" {
		t.Errorf("phones %v", got)
	}
	if _, err := os.Stat(o.file.path + ".new"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("something was left behind: %v", err)
	}
}

// A sender who cannot be reached is refused before anything is written.
func TestASubjectMustBeAnAddress(t *testing.T) {
	for _, bad := range []string{"", "robin@alder-yard.example", "mailto:", "mailto:Robin <robin@alder-yard.example>", "http://alder-yard.example", "https:"} {
		dir := filepath.Join(t.TempDir(), "push")
		if _, err := Open(dir, bad); err == nil || !strings.Contains(err.Error(), "mailto:") {
			t.Errorf("%q: %v", bad, err)
		}
		if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%q left something behind", bad)
		}
	}
}

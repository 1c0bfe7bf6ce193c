package main

import (
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bainward": main})
}

// TestScripts runs the command line as a person does; each file in
// testdata/script says in its first lines what it shows.
func TestScripts(t *testing.T) {
	const dir = "testdata/script"
	if files, err := filepath.Glob(filepath.Join(dir, "*.txtar")); err != nil || len(files) == 0 {
		t.Fatalf("no scripts in %s (%v)", dir, err)
	}
	sites, err := filepath.Abs("../testdata/sites")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		Condition:           condition,
		Setup: func(e *testscript.Env) error {
			e.Setenv("SITES", sites)
			taken, err := net.Listen("tcp", "127.0.0.1:0") // a port in use
			if err != nil {
				return err
			}
			e.Defer(func() { _ = taken.Close() })
			e.Setenv("TAKEN", taken.Addr().String())
			return nil
		},
	})
}

// condition lets a line of a script begin with [sqlite3]: it is left out where
// that program is missing, and an error where everything must be tested.
func condition(name string) (bool, error) {
	if name != "sqlite3" {
		return false, fmt.Errorf("unknown condition %q", name)
	}
	_, err := exec.LookPath(name)
	if err != nil && os.Getenv("CI") == "true" {
		return false, fmt.Errorf("%w (Debian: apt-get install sqlite3)", err)
	}
	return err == nil, nil
}

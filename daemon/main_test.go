package main

import (
	"net"
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

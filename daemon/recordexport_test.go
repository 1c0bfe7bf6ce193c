package main

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"bainward/daemon/record"
)

// TestRecordScripts runs the commands that hand over and copy a record: kept is
// one of two batches under a signed checkpoint, young one without any.
func TestRecordScripts(t *testing.T) {
	const dir = "testdata/script/record"
	if files, err := filepath.Glob(filepath.Join(dir, "*.txtar")); err != nil || len(files) == 0 {
		t.Fatalf("no scripts in %s (%v)", dir, err)
	}
	testscript.Run(t, testscript.Params{
		Dir: dir, RequireExplicitExec: true, Condition: condition,
		Setup: func(e *testscript.Env) error {
			kept := filepath.Join(e.WorkDir, "kept")
			return errors.Join(keepTwoBatches(filepath.Join(e.WorkDir, "young")), keepTwoBatches(kept), signed(kept))
		},
	})
}

// signed gives a record a key and a checkpoint.
func signed(dir string) error {
	ctx := context.Background()
	r, err := record.Open(ctx, record.Options{Dir: dir})
	if err != nil {
		return err
	}
	p := &past{at: 48 * time.Hour}
	p.add("", record.Key{})
	p.add("", record.Checkpoint{Why: record.WhyAsked})
	_, err = r.Append(ctx, p.entries)
	return errors.Join(p.err, err, r.Close())
}

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestNewFileNeverOverwrites(t *testing.T) {
	path := filepath.Join(t.TempDir(), "site.toml")
	if err := writeNew(path, []byte("first")); err != nil {
		t.Fatal(err)
	}
	if err := writeNew(path, []byte("second")); err == nil || !strings.Contains(err.Error(), "never overwritten") {
		t.Errorf("error is %v, want it to refuse", err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "first" {
		t.Errorf("the file holds %q (%v), want what it held before", got, err)
	}
}

package repeatable_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// coreFiles returns the Go files under rules/, paths from this folder, with or
// without the tests.
func coreFiles(t *testing.T, tests bool) []string {
	t.Helper()
	var files []string
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() == "testdata" {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, ".go") && strings.HasSuffix(path, "_test.go") == tests {
			files = append(files, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatal("found no Go file under rules/: has this package moved?")
	}
	return files
}

// needs skips the test if a tool is missing, but not where everything must be
// there.
func needs(t *testing.T, missing error) {
	t.Helper()
	if missing == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatal(missing)
	}
	t.Skip(missing)
}

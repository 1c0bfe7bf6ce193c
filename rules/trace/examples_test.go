package trace_test

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"bainward/rules/trace"
)

// examples returns the files of testdata/traces that match.
func examples(t testing.TB, pattern string) []string {
	t.Helper()
	files, err := filepath.Glob("../../testdata/traces/" + pattern)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatalf("no file matches testdata/traces/%s: have they moved?", pattern)
	}
	return files
}

func contents(t testing.TB, file string) []byte {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestGoodTracesReadBackAsTheyWereWritten(t *testing.T) {
	for _, file := range examples(t, "good-*.csv") {
		t.Run(filepath.Base(file), func(t *testing.T) {
			rows, err := trace.Read(bytes.NewReader(contents(t, file)))
			if err != nil {
				t.Fatal(err)
			}
			checkRoundTrip(t, rows)
		})
	}
}

// checkRoundTrip writes rows that were read, reads them back and writes them again.
func checkRoundTrip(t *testing.T, rows []trace.Row) {
	t.Helper()
	var first, second bytes.Buffer
	if err := trace.Write(&first, rows); err != nil {
		t.Fatalf("what was read cannot be written: %v", err)
	}
	back, err := trace.Read(bytes.NewReader(first.Bytes()))
	if err != nil {
		t.Fatalf("what was written cannot be read: %v\n%s", err, first.String())
	}
	if !reflect.DeepEqual(withoutLines(back), withoutLines(rows)) {
		t.Fatalf("read back\n%+v\nwant\n%+v", back, rows)
	}
	if err := trace.Write(&second, back); err != nil {
		t.Fatal(err)
	}
	if first.String() != second.String() {
		t.Fatalf("the second writing differs:\n%s\nthe first was\n%s", second.String(), first.String())
	}
}

// withoutLines forgets where in the file the rows stood.
func withoutLines(rows []trace.Row) []trace.Row {
	out := append([]trace.Row(nil), rows...)
	for i := range out {
		out[i].Line = 0
	}
	return out
}

func TestBadTracesAreRefusedWholeWithLineAndColumn(t *testing.T) {
	for _, file := range examples(t, "bad-*.csv") {
		t.Run(filepath.Base(file), func(t *testing.T) {
			want := strings.TrimSuffix(string(contents(t, strings.TrimSuffix(file, ".csv")+".txt")), "\n")
			rows, err := trace.Read(bytes.NewReader(contents(t, file)))
			if err == nil {
				t.Fatalf("read %d rows, want the error %s", len(rows), want)
			}
			if err.Error() != want {
				t.Errorf("error\n%s\nwant\n%s", err, want)
			}
			if rows != nil {
				t.Errorf("%d rows came with the error, want none", len(rows))
			}
		})
	}
}

func TestEachExpectedErrorHasItsTrace(t *testing.T) {
	for _, file := range examples(t, "bad-*.txt") {
		if _, err := os.Stat(strings.TrimSuffix(file, ".txt") + ".csv"); err != nil {
			t.Error(err)
		}
	}
}

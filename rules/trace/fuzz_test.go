package trace_test

import (
	"bytes"
	"testing"

	"bainward/rules/trace"
)

// FuzzRead: reading never panics, an error comes without rows, and what was
// read can be written and reads back the same.
func FuzzRead(f *testing.F) {
	for _, file := range examples(f, "*.csv") {
		if b := contents(f, file); len(b) < 10_000 {
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		rows, err := trace.Read(bytes.NewReader(file))
		if err != nil {
			if rows != nil {
				t.Fatalf("%d rows came with the error %v", len(rows), err)
			}
			return
		}
		checkRoundTrip(t, rows)
	})
}

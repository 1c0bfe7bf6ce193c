package steam_test

import (
	"encoding/csv"
	"io"
	"math"
	"os"
	"strconv"
	"testing"
)

// table reads a published table of testdata/tables; each names its source in
// its first lines.
func table(t *testing.T, name string) []map[string]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/tables/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	return rows(t, f)
}

func rows(t *testing.T, r io.Reader) []map[string]float64 {
	t.Helper()
	c := csv.NewReader(r)
	c.Comment = '#'
	lines, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 {
		t.Fatal("the table has no rows")
	}
	var all []map[string]float64
	for _, l := range lines[1:] {
		row := map[string]float64{}
		for i, cell := range l {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			row[lines[0][i]] = v
		}
		all = append(all, row)
	}
	return all
}

// near complains unless got is within tolerance of want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.9g, want %.9g ± %.3g", what, got, want, tolerance)
	}
}

package judge

import (
	"os"
	"strconv"
	"testing"
)

func TestTable(t *testing.T) {
	n := 24
	if v, err := strconv.Atoi(os.Getenv("RIGS")); err == nil {
		n = v
	}
	s, err := Rigs(n, os.Getenv("EXACT") != "", 2)
	if err != nil {
		t.Fatal(err)
	}
	s.Write(os.Stdout)
}

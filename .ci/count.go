// Command count reads the output of "go test -json" and prints one line a
// package, what failing tests said, and, as its last line, how many tests passed,
// failed and were skipped. It fails when one failed or none ran.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
)

// event is one line of "go doc test2json" and "go help buildjson".
type event struct {
	Action, Package, ImportPath, Test, Output string
	Elapsed                                   float64
}

func main() {
	said := map[string]*strings.Builder{} // by package and test
	counts := map[string]int{}
	in := json.NewDecoder(os.Stdin)
	for {
		var e event
		if err := in.Decode(&e); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			fmt.Fprintln(os.Stderr, "count tests: read go test -json:", err)
			os.Exit(1)
		}
		key := e.Package + e.ImportPath + " " + e.Test
		switch e.Action {
		case "output", "build-output":
			if said[key] == nil {
				said[key] = &strings.Builder{}
			}
			said[key].WriteString(e.Output)
			continue
		case "build-fail":
			counts["fail"]++ // its tests could not even run
		case "pass", "fail", "skip":
			if e.Test != "" {
				counts[e.Action]++
			} else if e.Action != "skip" { // a package without tests
				fmt.Printf("%-5s %s %.1fs\n", e.Action, e.Package, e.Elapsed)
			}
		default:
			continue
		}
		if text := said[key]; text != nil && e.Action != "pass" && (e.Test != "" || e.Action != "skip") {
			fmt.Print(text)
		}
		delete(said, key)
	}
	fmt.Printf("%d passed, %d failed, %d skipped\n", counts["pass"], counts["fail"], counts["skip"])
	if counts["fail"] > 0 || counts["pass"] == 0 {
		os.Exit(1)
	}
}

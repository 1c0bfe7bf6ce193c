package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
)

type versionCommand struct{}

// Run prints the version of the program and what it was built for.
func (versionCommand) Run(out io.Writer) error {
	_, err := fmt.Fprintf(out, "bainward %s %s/%s %s\n", version(), runtime.GOOS, runtime.GOARCH, runtime.Version())
	return err
}

// version returns the version that the Go tool stamped into the binary: a tag,
// or the commit's date and hash.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		return info.Main.Version
	}
	return "unknown"
}

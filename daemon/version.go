package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
)

type versionCommand struct{}

// Run prints the version that the Go tool stamped into the binary: a tag, or
// the commit's date and hash.
func (versionCommand) Run(out io.Writer) error {
	version := "unknown"
	if info, ok := debug.ReadBuildInfo(); ok {
		version = info.Main.Version
	}
	_, err := fmt.Fprintf(out, "bainward %s %s/%s %s\n", version, runtime.GOOS, runtime.GOARCH, runtime.Version())
	return err
}

// Command bainward watches the water baths in which hot macerated oils are
// made, tells the maker in time what needs doing, and keeps a record of it.
//
// Start with cli.go: it holds the commands. Each command is one file here;
// what they share with the outside is opened in wires.go. This package decides
// nothing about a bath: that is the rules' work.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// Package app joins the rooms into a daemon: it polls the probes, asks the
// rules, writes the record, and only then tells the pages, the broker and the
// metrics.
//
// Start with loop.go: everything that changes the state of a bath happens
// there, in one goroutine, one thing at a time. poll.go reads the probes beside
// it, so that a slow wire never delays a person; deeds.go is what people ask
// for; resume.go folds the open batches again after a restart; view.go and
// history.go are what the pages read.
package app

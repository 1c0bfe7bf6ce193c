package main

import (
	"context"
	"fmt"
	"io"
	"sync"
	"time"

	"bainward/daemon/app"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/phone/notice"
)

// terminal is the phone of an invented person: what would ring is printed.
type terminal struct {
	name string
	out  *lockedWriter
}

// lockedWriter keeps the lines of several phones apart.
type lockedWriter struct {
	mu sync.Mutex
	w  io.Writer
}

func (t terminal) Name() string { return t.name }

// Send prints the notice as a lock screen would show it.
func (t terminal) Send(_ context.Context, n notice.Notice) (string, error) {
	t.out.mu.Lock()
	defer t.out.mu.Unlock()
	bell := "rings"
	if n.Quiet {
		bell = "shows"
	}
	if _, err := fmt.Fprintf(t.out.w, "%s's phone %s: %s. %s\n", n.Contact, bell, n.Title, n.Text); err != nil {
		return "", fmt.Errorf("print the notice: %w", err)
	}
	if n.Link != "" {
		fmt.Fprintf(t.out.w, "    to answer, open %s\n", n.Link)
	}
	return "printed in the terminal", nil
}

// inventedPhones are those of the two people of the demo.
func inventedPhones(out io.Writer, address string) func(dir string) (*app.Phones, error) {
	shared := &lockedWriter{w: out}
	return func(dir string) (*app.Phones, error) {
		links, err := link.Open(dir)
		if err != nil {
			return nil, err
		}
		return &app.Phones{
			Plan: calls.Plan{Contacts: []calls.Contact{
				{Name: "Robin", Channels: []string{"robin-phone"}, Wait: 5 * time.Minute},
				{Name: "Sorrel", Channels: []string{"sorrel-phone"}, Wait: 5 * time.Minute},
			}},
			Channels: []notice.Channel{terminal{"robin-phone", shared}, terminal{"sorrel-phone", shared}},
			Kinds:    map[string]string{"robin-phone": "terminal", "sorrel-phone": "terminal"},
			Links:    links, Address: address,
		}, nil
	}
}

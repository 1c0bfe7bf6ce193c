package web

import (
	"context"
	"log/slog"
	"net/http"
	"sync"
	"testing"
)

// fakeCutouts are cut-outs that a test sets.
type fakeCutouts struct {
	mu     sync.Mutex
	all    []Cutout
	refuse error
	asked  chan string
}

func newFakeCutouts(all ...Cutout) *fakeCutouts {
	return &fakeCutouts{all: all, asked: make(chan string, 10)}
}

func (c *fakeCutouts) Cutouts() []Cutout {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.all
}

func (c *fakeCutouts) HeatBack(_ context.Context, bath, who string) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.asked <- bath + " by " + who
	if c.refuse == nil {
		c.all = []Cutout{{Bath: bath, Allow: true}}
	}
	return c.refuse
}

// dryCut is a bath whose heat a dry pan cut.
func dryCut(bath string) Cutout {
	return Cutout{Bath: bath, Why: "boiling-dry cut it; it stays off until somebody resets the cut-out", Tripped: "boiling-dry"}
}

func withCutouts(t *testing.T, v View, c Cutouts) http.Handler {
	t.Helper()
	h, err := New(Options{View: v, Doer: newFakeDoer(), Cutouts: c, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

package service

import (
	"strings"
	"testing"
	"time"
)

// One send at a time goes; the next may when the first has ended.
func TestOneSendAtATime(t *testing.T) {
	var u turn
	start := time.Unix(0, 0)
	back, err := u.take(start)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := u.take(start.Add(7 * time.Second)); err == nil || !strings.Contains(err.Error(), "for 7 s") {
		t.Errorf("a second send: %v", err)
	}
	back()
	if _, err := u.take(start.Add(8 * time.Second)); err != nil {
		t.Errorf("after the first ended: %v", err)
	}
}

// A send that never ends blocks the channel for its lifetime only; but no more
// than a few may hang, and one that ends at last makes room again.
func TestHangingSendsAreWrittenOffAndCounted(t *testing.T) {
	var u turn
	now := time.Unix(0, 0)
	backs := make([]func(), 0, strays+1)
	for range strays + 1 {
		back, err := u.take(now)
		if err != nil {
			t.Fatal(err)
		}
		backs = append(backs, back)
		now = now.Add(lifetime)
	}
	if _, err := u.take(now); err == nil || !strings.Contains(err.Error(), "4 sends hang") {
		t.Errorf("a fifth hanging send: %v", err)
	}
	backs[0]() // a stray comes home
	last, err := u.take(now)
	if err != nil {
		t.Fatalf("after a stray ended: %v", err)
	}
	if _, err := u.take(now.Add(time.Second)); err == nil {
		t.Error("a stray's end ended the send under way")
	}
	last()
	for _, back := range backs[1:] {
		back()
	}
	if u.busy || u.stray != 0 {
		t.Errorf("left over: %+v", &u)
	}
}

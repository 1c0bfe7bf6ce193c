package main

import (
	"context"
	"testing"
	"testing/synctest"
	"time"
)

func TestRepeatGoesOnUntilInterrupted(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
		defer cancel()
		began := time.Now()
		var at []time.Duration
		if err := repeat(ctx, 2*time.Second, func() { at = append(at, time.Since(began)) }); err != nil {
			t.Errorf("an interruption is no error, but: %v", err)
		}
		if len(at) != 3 || at[0] != 0 || at[1] != 2*time.Second || at[2] != 4*time.Second {
			t.Errorf("it happened at %v, want 0 s, 2 s and 4 s", at)
		}
	})
}

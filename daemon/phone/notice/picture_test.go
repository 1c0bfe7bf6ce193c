package notice

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"
)

// A picture that fails, takes too long, ignores its context or is monstrous does
// not hold up the notice for longer than its share of the time.
func TestAFailingPictureStopsNoNotice(t *testing.T) {
	for name, picture := range map[string]func(context.Context) ([]byte, error){
		"fails":      func(context.Context) ([]byte, error) { return []byte("half"), errors.New("no trace") },
		"monstrous":  func(context.Context) ([]byte, error) { return make([]byte, biggest+1), nil },
		"too slow":   func(ctx context.Context) ([]byte, error) { <-ctx.Done(); return nil, ctx.Err() },
		"will not":   func(context.Context) ([]byte, error) { time.Sleep(time.Hour); return []byte("late"), nil },
		"is nothing": func(context.Context) ([]byte, error) { return nil, nil },
		"is none":    nil,
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				begun := time.Now()
				ctx, cancel := context.WithTimeout(t.Context(), 9*time.Second)
				defer cancel()
				if png := (Notice{Picture: picture}).Draw(ctx); png != nil {
					t.Errorf("drew %d bytes", len(png))
				}
				if took := time.Since(begun); took > 3*time.Second {
					t.Errorf("took %s of 9 s", took)
				}
				time.Sleep(2 * time.Hour) // in the bubble: lets the stubborn one end
			})
		})
	}
}

package notice

import (
	"context"
	"time"
)

// A picture is worth some waiting and some bytes, but not the notice: a third of
// the time there is, five seconds at most. A drawing of half an hour has some 50
// kB; what is larger than biggest is no such drawing.
const (
	patience = 5 * time.Second
	biggest  = 2 << 20
)

// Draw returns the picture as PNG, or nil if there is none, it fails or takes too
// long. It does not trust the drawing to honour its context. A channel calls it
// before its server, which need not wait for it.
func (n Notice) Draw(ctx context.Context) []byte {
	if n.Picture == nil {
		return nil
	}
	wait := patience
	if end, ok := ctx.Deadline(); ok {
		wait = min(wait, time.Until(end)/3)
	}
	ctx, cancel := context.WithTimeout(ctx, wait)
	defer cancel()
	drawn := make(chan []byte, 1)
	go func() {
		png, err := n.Picture(ctx)
		if err != nil || len(png) > biggest {
			png = nil
		}
		drawn <- png
	}()
	select {
	case png := <-drawn:
		return png
	case <-ctx.Done():
		return nil
	}
}

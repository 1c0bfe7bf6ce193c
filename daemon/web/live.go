package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// Timing of the stream.
const (
	// heartbeat keeps the way open through phones and routers that drop quiet
	// connections.
	heartbeat = 4 * time.Second
	// breath is the least time between two states: several baths that change in
	// one second make one message, an alarm waits no longer than this.
	breath = 250 * time.Millisecond
	// stuckAfter is how long a client may take to accept a message. One that
	// takes longer is let go; it comes back by itself.
	stuckAfter = 10 * time.Second
	// maxStreams is how many pages may be open at once. Each costs a goroutine
	// and a socket; the bound keeps sockets for everything else.
	maxStreams = 256
)

// live streams the state of all baths as server-sent events (WHATWG HTML,
// section 9.2): the whole state at once and at every change. Each message is
// whole, so a client that comes back needs nothing that it missed.
//
// Every client has its own goroutine and reads the newest state when it is
// ready: a slow one skips states and holds nobody up.
func (s *server) live(w http.ResponseWriter, r *http.Request) {
	select {
	case s.streams <- struct{}{}:
		defer func() { <-s.streams }()
	default:
		w.Header().Set("Retry-After", "5")
		writeError(w, http.StatusServiceUnavailable, fmt.Sprintf("%d pages are open already; close one", maxStreams))
		return
	}
	changed, cancel := s.view.Subscribe()
	defer cancel()
	out := &stream{w: w, control: http.NewResponseController(w)}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("X-Accel-Buffering", "no") // a proxy in front must not hold messages back
	if err := out.send("retry: 2000\n\n"); err != nil {
		s.log.Debug("open stream", "err", err)
		return
	}
	if err := s.follow(r, out, changed); err != nil {
		s.log.Debug("stream ends", "err", err)
	}
}

// follow sends states until the client goes.
func (s *server) follow(r *http.Request, out *stream, changed <-chan struct{}) error {
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		if err := s.sendState(out); err != nil {
			return err
		}
		if done := pause(r, breath); done {
			return nil
		}
		for waiting := true; waiting; {
			select {
			case <-r.Context().Done():
				return nil
			case _, ok := <-changed:
				if !ok {
					return nil // the view has ended
				}
				waiting = false
			case <-beat.C:
				if err := out.send(": still here\n\n"); err != nil {
					return err
				}
			}
		}
	}
}

// pause waits and reports whether the client went meanwhile.
func pause(r *http.Request, d time.Duration) (gone bool) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-r.Context().Done():
		return true
	case <-t.C:
		return false
	}
}

func (s *server) sendState(out *stream) error {
	body, err := json.Marshal(s.state()) // on one line, as the format wants
	if err != nil {
		return fmt.Errorf("encode state: %w", err)
	}
	return out.send("data: " + string(body) + "\n\n")
}

// stream is one client's connection.
type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
}

// send writes text and flushes it, or fails after stuckAfter.
func (o *stream) send(text string) error {
	if err := o.control.SetWriteDeadline(time.Now().Add(stuckAfter)); err != nil {
		return fmt.Errorf("bound the time of a message: %w", err)
	}
	if _, err := o.w.Write([]byte(text)); err != nil {
		return fmt.Errorf("send message: %w", err)
	}
	if err := o.control.Flush(); err != nil {
		return fmt.Errorf("send message: %w", err)
	}
	return nil
}

package web

import (
	"context"
	"net"
	"net/http"
	"sync"
	"testing"
)

// wire joins a server and its clients by pipes in memory, which, unlike
// sockets, live inside a synctest bubble: time there passes only when all wait.
type wire struct {
	accepted chan net.Conn
	once     sync.Once
	closed   chan struct{}
}

func newWire() *wire { return &wire{accepted: make(chan net.Conn), closed: make(chan struct{})} }

func (w *wire) Accept() (net.Conn, error) {
	select {
	case c := <-w.accepted:
		return c, nil
	case <-w.closed:
		return nil, net.ErrClosed
	}
}

func (w *wire) Close() error {
	w.once.Do(func() { close(w.closed) })
	return nil
}

func (w *wire) Addr() net.Addr { return &net.IPAddr{IP: net.IPv4(127, 0, 0, 1)} }

func (w *wire) dial(ctx context.Context, _, _ string) (net.Conn, error) {
	ours, theirs := net.Pipe()
	select {
	case w.accepted <- theirs:
		return ours, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// serve runs h on a wire until the test ends and returns a client of it.
func serve(t *testing.T, h http.Handler) (*wire, *http.Client) {
	t.Helper()
	w := newWire()
	server := &http.Server{Handler: h}
	done := make(chan error, 1)
	go func() { done <- server.Serve(w) }()
	client := &http.Client{Transport: &http.Transport{DialContext: w.dial}}
	t.Cleanup(func() {
		client.CloseIdleConnections()
		_ = server.Close() // the listener tells nothing when it closes
		<-done
	})
	return w, client
}

package alive_test

import (
	"context"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone/alive"
	"bainward/daemon/phone/notice"
)

const address = "https://listener.example/beat/t0psecret-41c7?key=abcd9"

// listener is the far end: it notes when it was called, and answers as it is told.
type listener struct {
	mu     sync.Mutex
	start  time.Time
	calls  []time.Duration
	method string
	answer func(*http.Request) (*http.Response, error) // nil: 200
}

func (l *listener) RoundTrip(r *http.Request) (*http.Response, error) {
	l.mu.Lock()
	l.calls = append(l.calls, time.Since(l.start))
	l.method = r.Method
	answer := l.answer
	l.mu.Unlock()
	if answer == nil {
		return status(http.StatusOK)(r)
	}
	return answer(r)
}

func (l *listener) answers(f func(*http.Request) (*http.Response, error)) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.answer = f
}

// heard returns when it was called since it was asked before.
func (l *listener) heard() []time.Duration {
	synctest.Wait()
	l.mu.Lock()
	defer l.mu.Unlock()
	calls := l.calls
	l.calls = nil
	return calls
}

func status(code int) func(*http.Request) (*http.Response, error) {
	return func(r *http.Request) (*http.Response, error) {
		return &http.Response{StatusCode: code, Body: http.NoBody, Request: r}, nil
	}
}

// hangs answers when its caller gives up.
func hangs(r *http.Request) (*http.Response, error) {
	<-r.Context().Done()
	return nil, r.Context().Err()
}

// journal is a log that can be read.
type journal struct {
	mu   sync.Mutex
	text strings.Builder
}

func (j *journal) Write(b []byte) (int, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.text.Write(b)
}

func (j *journal) count(of string) int {
	j.mu.Lock()
	defer j.mu.Unlock()
	return strings.Count(j.text.String(), of)
}

// start runs a heartbeat in a bubble until the test ends, or end is called.
func start(t *testing.T, o alive.Options) (h *alive.Heartbeat, l *listener, j *journal, end func()) {
	t.Helper()
	l, j = &listener{start: time.Now()}, &journal{}
	o.URL = notice.NewSecret(address)
	o.Client = &http.Client{Transport: l}
	o.Logger = slog.New(slog.NewTextHandler(j, nil))
	if o.Well == nil {
		o.Well = func() (bool, string) { return true, "" }
	}
	h, err := alive.New(o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); h.Run(ctx) }()
	end = func() { cancel(); <-done }
	t.Cleanup(end)
	return h, l, j, end
}

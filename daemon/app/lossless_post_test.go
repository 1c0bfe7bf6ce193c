package app

import (
	"context"
	"encoding/json"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"strconv"
	"sync"
	"testing"
	"time"
)

// letterbox is where the webhooks of all lives of a daemon arrive. It is
// unreliable in every way that a far end can be, and notes what it took.
type letterbox struct {
	url string

	mu    sync.Mutex
	calm  bool // all is well from now on
	posts []post
}

// post is one request that arrived.
type post struct {
	notice string
	life   int // of the daemon that sent it
	at     time.Time
	fate   fate
}

// fate is what becomes of a request.
type fate int

const (
	taken   fate = iota
	late         // taken after a moment
	cutOff       // taken, but the answer is lost: nobody knows
	broken       // 500
	tooMany      // 429, with Retry-After
	hung         // no answer until the caller gives up
	dropped      // the connection is closed
	fates
)

var fateWords = [fates]string{
	"taken", "taken late", "taken and the answer lost", "answered 500", "answered 429", "left hanging", "hung up on",
}

func (f fate) fault() bool { return f >= cutOff }

// took reports whether the notice arrived.
func (f fate) took() bool { return f <= cutOff }

// drawFate gives six of ten requests no trouble.
func drawFate() fate {
	if n := rand.IntN(20); n >= 12 {
		return []fate{late, late, cutOff, broken, broken, tooMany, hung, dropped}[n-12]
	}
	return taken
}

// hangs is longer than most lives of the daemon.
const hangs = 3 * time.Second

func newLetterbox(t *testing.T) *letterbox {
	l := &letterbox{}
	routes := http.NewServeMux()
	routes.HandleFunc("POST /{life}/{channel}", l.take)
	server := httptest.NewServer(routes)
	t.Cleanup(server.Close)
	l.url = server.URL
	return l
}

func (l *letterbox) take(w http.ResponseWriter, r *http.Request) {
	at := time.Now()
	var sent struct{ ID string }
	body, err := io.ReadAll(r.Body)
	if err != nil { // killed while it was sending
		return
	}
	life, err := strconv.Atoi(r.PathValue("life"))
	if err != nil || json.Unmarshal(body, &sent) != nil {
		http.Error(w, "this is no notice", http.StatusBadRequest)
		return
	}
	f := l.decide()
	if f == late {
		wait(r.Context(), time.Duration(rand.Int64N(int64(60*time.Millisecond))))
	}
	l.note(post{notice: sent.ID, life: life, at: at, fate: f})
	meet(w, r, f)
}

func (l *letterbox) decide() fate {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.calm {
		return taken
	}
	return drawFate()
}

func (l *letterbox) note(p post) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.posts = append(l.posts, p)
}

func (l *letterbox) be(calm bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.calm = calm
}

// meet answers a request, or not, as its fate has it.
func meet(w http.ResponseWriter, r *http.Request, f fate) {
	switch f {
	case cutOff, dropped:
		panic(http.ErrAbortHandler) // net/http closes the connection
	case broken:
		w.WriteHeader(http.StatusInternalServerError)
	case tooMany:
		w.Header().Set("Retry-After", strconv.Itoa(rand.IntN(2)))
		w.WriteHeader(http.StatusTooManyRequests)
	case hung:
		wait(r.Context(), hangs)
		w.WriteHeader(http.StatusServiceUnavailable)
	}
}

func wait(ctx context.Context, d time.Duration) {
	select {
	case <-time.After(d):
	case <-ctx.Done():
	}
}

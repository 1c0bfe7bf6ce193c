package push

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
)

// policy is that of the daemon's own pages, with the manifest let in: both
// scripts must work under it.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; manifest-src 'self'; " +
	"form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

// house serves the page, both scripts and the office, as the daemon does, and
// the parts that stand in for a browser's push service.
type house struct {
	*httptest.Server
	t       *testing.T
	service *service
	office  atomic.Pointer[Office]
	loads   atomic.Int32          // of the page
	made    atomic.Int32          // subscriptions
	phones  chan phone            // subscriptions made by the browser
	heard   chan string           // what the worker did
	changed chan string           // the methods by which the list was changed
	picture chan http.HandlerFunc // how the next request for the picture is answered
}

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{
		t: t, service: newService(t), phones: make(chan phone, 8), heard: make(chan string, 8), changed: make(chan string, 64),
		picture: make(chan http.HandlerFunc, 4),
	}
	h.office.Store(openOffice(t, Pictures(picturePath)))
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		h.loads.Add(1)
		h.file("text/html", "testdata/page.html")(w, r)
	})
	const static = "../../../dashboards/page/static/"
	mux.HandleFunc("GET /push.js", h.file("text/javascript", static+"push.js"))
	mux.HandleFunc("GET /wake.js", h.file("text/javascript", static+"wake.js", "testdata/worker.js"))
	mux.HandleFunc("GET /app.webmanifest", h.file("application/manifest+json", static+"app.webmanifest"))
	mux.HandleFunc("GET /static/icon.svg", h.file("image/svg+xml", static+"icon.svg"))
	mux.HandleFunc("GET /browser.js", h.file("text/javascript", "testdata/browser.js"))
	mux.HandleFunc("GET /favicon.ico", func(http.ResponseWriter, *http.Request) {})
	mux.HandleFunc("GET /picture.png", h.drawPicture)
	mux.HandleFunc("GET /push/key", func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, h.office.Load().Key()) })
	mux.HandleFunc("/push/subscriptions", h.subscriptions)
	mux.HandleFunc("POST /browser/subscribe", h.subscribe)
	mux.HandleFunc("POST /browser/{deed}", h.hear)
	h.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		w.Header().Set("X-Content-Type-Options", "nosniff")
		w.Header().Set("Cache-Control", "no-store")
		mux.ServeHTTP(w, r)
	}))
	t.Cleanup(func() {
		h.CloseClientConnections()
		h.Close()
	})
	return h
}

func (h *house) file(kind string, paths ...string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		for _, p := range paths {
			text, err := os.ReadFile(filepath.FromSlash(p))
			if err != nil {
				h.t.Error(err)
			}
			_, _ = w.Write(text)
		}
	}
}

// subscriptions is what push.js and wake.js ask of the daemon.
func (h *house) subscriptions(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Contact, Device, Endpoint, Replaces string
		Subscription                        json.RawMessage
	}
	err := json.NewDecoder(r.Body).Decode(&q)
	switch o := h.office.Load(); {
	case err != nil:
	case r.Method == http.MethodPost:
		err = o.SignUp(q.Contact, q.Device, q.Subscription)
	case r.Method == http.MethodPut:
		err = o.Replace(q.Replaces, q.Subscription)
	case r.Method == http.MethodDelete:
		err = o.SignOff(q.Endpoint)
	}
	h.changed <- r.Method
	if err == nil {
		return
	}
	code := http.StatusInternalServerError
	if _, refused := errors.AsType[*Refusal](err); refused {
		code = http.StatusBadRequest
	}
	w.WriteHeader(code)
	_ = json.NewEncoder(w).Encode(map[string]string{"error": err.Error()})
}

// waitFor waits until the list was changed by this method.
func (h *house) waitFor(method string) {
	h.t.Helper()
	patience := time.After(15 * time.Second)
	for {
		select {
		case got := <-h.changed:
			if got == method {
				return
			}
		case <-patience:
			h.t.Fatalf("no %s came", method)
		}
	}
}

// subscribe makes a phone, as the browser's own push service would.
func (h *house) subscribe(w http.ResponseWriter, _ *http.Request) {
	p := newPhone(h.t, h.service.URL+"/w/"+strconv.Itoa(int(h.made.Add(1))))
	h.phones <- p
	_, _ = w.Write(p.subscription())
}

func (h *house) hear(_ http.ResponseWriter, r *http.Request) {
	text, _ := io.ReadAll(r.Body)
	h.heard <- r.PathValue("deed") + " " + string(text)
}

// drawPicture hangs until the test says how to answer.
func (h *house) drawPicture(w http.ResponseWriter, r *http.Request) {
	select {
	case answer := <-h.picture:
		answer(w, r)
	case <-r.Context().Done():
	}
}

// picturePath says where the phone finds the picture of a notice that has one.
func picturePath(n notice.Notice) string {
	if n.Picture == nil {
		return ""
	}
	return "/picture.png"
}

func onePixel(w http.ResponseWriter, _ *http.Request) {
	var b bytes.Buffer
	_ = png.Encode(&b, image.NewGray(image.Rect(0, 0, 1, 1))) // a buffer takes everything
	w.Header().Set("Content-Type", "image/png")
	_, _ = w.Write(b.Bytes())
}

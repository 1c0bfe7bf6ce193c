package web

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"bainward/rules/fold"
)

// apiText describes the interface for people who write programs.
//
//go:embed API.md
var apiText []byte

func (s *server) apiPage(w http.ResponseWriter, _ *http.Request) {
	s.send(w, http.StatusOK, "text/markdown; charset=utf-8", apiText)
}

type siteJSON struct {
	Site    string     `json:"site"`
	Version string     `json:"version"`
	Demo    float64    `json:"demo"`
	Recipes []string   `json:"recipes"`
	Baths   []bathJSON `json:"baths"`
}

// state gathers what /api/baths and the stream send.
func (s *server) state() siteJSON {
	site := s.view.Site()
	out := siteJSON{Site: site.Name, Version: site.Version, Demo: site.Demo, Recipes: site.Recipes, Baths: []bathJSON{}}
	if out.Recipes == nil {
		out.Recipes = []string{}
	}
	for _, b := range s.view.Snapshots() {
		out.Baths = append(out.Baths, s.bathNow(b))
	}
	return out
}

func (s *server) apiBaths(w http.ResponseWriter, _ *http.Request) { s.sendJSON(w, s.state()) }

func (s *server) apiBath(w http.ResponseWriter, r *http.Request) {
	if b, ok := s.apiFind(w, r); ok {
		s.sendJSON(w, s.bathNow(b))
	}
}

// bathNow is what programs and open pages read of a bath at this instant.
func (s *server) bathNow(b fold.Snapshot) bathJSON {
	out := bathOf(b, s.ages.of(b, time.Now()))
	out.Cutout = cutoutJSONOf(s.cutoutOf(b.Bath))
	return out
}

type lineJSON struct {
	Entry    int64     `json:"entry"`
	Wall     time.Time `json:"wall"`
	Text     string    `json:"text"`
	Voidable bool      `json:"voidable"`
	Voided   bool      `json:"voided"`
}

func (s *server) apiLog(w http.ResponseWriter, r *http.Request) {
	b, ok := s.apiFind(w, r)
	if !ok {
		return
	}
	n := logLines
	if word := r.URL.Query().Get("n"); word != "" {
		var err error
		if n, err = strconv.Atoi(word); err != nil || n < 1 || n > maxLogLines {
			writeError(w, http.StatusBadRequest, fmt.Sprintf("n=%q: want a whole number from 1 to %d", word, maxLogLines))
			return
		}
	}
	lines, err := s.view.Events(r.Context(), b.Bath, n)
	if err != nil {
		s.log.Error("read record for API", "bath", b.Bath, "err", err)
		writeError(w, http.StatusInternalServerError, "the record could not be read; the daemon's log says why")
		return
	}
	out := make([]lineJSON, len(lines))
	for i, l := range lines {
		out[i] = lineJSON{l.Entry, l.Wall.UTC(), l.Text, l.Voidable, l.Voided}
	}
	s.sendJSON(w, map[string]any{"bath": b.Bath, "entries": out})
}

// apiFind returns the bath that the address names, or has answered that there
// is none.
func (s *server) apiFind(w http.ResponseWriter, r *http.Request) (fold.Snapshot, bool) {
	name := r.PathValue("bath")
	b, ok := s.find(name)
	if !ok {
		writeError(w, http.StatusNotFound, fmt.Sprintf("no bath %q; GET /api/baths lists them", name))
	}
	return b, ok
}

func (s *server) sendJSON(w http.ResponseWriter, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		s.log.Error("encode answer", "err", err)
		writeError(w, http.StatusInternalServerError, "the answer could not be written; the daemon's log says why")
		return
	}
	s.send(w, http.StatusOK, "application/json", append(body, '\n'))
}

// writeError answers with {"error": text}.
func writeError(w http.ResponseWriter, status int, text string) {
	writeJSON(w, status, map[string]string{"error": text})
}

// writeJSON answers that something was refused, and why.
func writeJSON(w http.ResponseWriter, status int, why any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	// The status has gone out: an answer that cannot be written has nobody left
	// to be told.
	_ = json.NewEncoder(w).Encode(why)
}

// wantsJSON tells programs from browsers, to answer each in its own form.
func wantsJSON(r *http.Request) bool {
	for _, place := range [...]string{"/api/", "/push/", "/phones/"} {
		if strings.HasPrefix(r.URL.Path, place) {
			return true
		}
	}
	return r.URL.Path == "/live"
}

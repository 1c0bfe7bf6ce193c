package web

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"time"

	"bainward/dashboards"
	"bainward/rules/fold"
)

// How much a page shows.
const (
	logLines    = 40
	maxLogLines = 1000
	defaultLast = 3 * time.Hour
	minLast     = time.Minute
	maxLast     = 7 * 24 * time.Hour
)

// home shows the only bath, or all of them side by side.
func (s *server) home(w http.ResponseWriter, r *http.Request) {
	baths := s.view.Snapshots()
	if len(baths) == 1 {
		s.showBath(w, r, baths[0])
		return
	}
	page := s.newPage(baths)
	for _, b := range baths {
		v, err := dashboards.ViewOf(b, nil)
		if err != nil {
			s.trouble(w, r, err)
			return
		}
		v.Age = s.ages.of(b, time.Now()).Seconds()
		v.Cutout = s.cutoutOf(b.Bath)
		page.Baths = append(page.Baths, v)
	}
	s.render(w, r, func(out *bytes.Buffer) error { return s.pages.Render(out, page) })
}

// bath shows one bath.
func (s *server) bath(w http.ResponseWriter, r *http.Request) {
	b, ok := s.find(r.PathValue("bath"))
	if !ok {
		s.nothingHere(w, r)
		return
	}
	s.showBath(w, r, b)
}

func (s *server) showBath(w http.ResponseWriter, r *http.Request, b fold.Snapshot) {
	last, err := lastOf(r)
	if err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "No such length", err.Error())
		return
	}
	page := s.newPage(s.view.Snapshots())
	page.Windows = dashboards.Windows(last)
	v, err := s.wholeView(r.Context(), b, last)
	if err != nil {
		s.trouble(w, r, err)
		return
	}
	page.Baths = []dashboards.BathView{v}
	s.render(w, r, func(out *bytes.Buffer) error { return s.pages.Render(out, page) })
}

// wholeView gathers all that the page of one bath shows. A trace or a record
// that cannot be read must not hide the alarms: the page says so in its place.
func (s *server) wholeView(ctx context.Context, b fold.Snapshot, last time.Duration) (dashboards.BathView, error) {
	v, err := dashboards.ViewOf(b, s.view.Site().Recipes)
	if err != nil {
		return v, err
	}
	v.Age = s.ages.of(b, time.Now()).Seconds()
	v.Cutout = s.cutoutOf(b.Bath)
	v.Guide = s.guideNow(ctx, b)
	trace, err := s.view.Trace(ctx, b.Bath, last)
	if err != nil {
		s.log.Error("read trace for page", "bath", b.Bath, "err", err)
		v.Trace = "<p>The trace could not be read; the daemon's log says why.</p>"
	} else {
		var svg bytes.Buffer
		if err := dashboards.DrawSVG(&svg, trace, dashboards.Options{Units: b.Units}); err != nil {
			return v, fmt.Errorf("draw trace: %w", err)
		}
		v.Trace = template.HTML(svg.String()) // made by DrawSVG, which escapes every text
	}
	if v.Log, err = s.view.Events(ctx, b.Bath, logLines); err != nil {
		s.log.Error("read record for page", "bath", b.Bath, "err", err)
		v.Log = []dashboards.LogLine{{Wall: b.Wall, Text: "The record could not be read; the daemon's log says why."}}
	}
	return v, nil
}

func (s *server) newPage(baths []fold.Snapshot) dashboards.Page {
	site := s.view.Site()
	p := dashboards.Page{
		Site: site.Name, Version: site.Version, Demo: site.Demo, Assets: s.assets, Phones: s.phonesNow(), Plans: s.plans(), Places: s.places(""),
	}
	for _, b := range baths {
		p.Others = append(p.Others, b.Bath)
	}
	return p
}

func (s *server) find(name string) (fold.Snapshot, bool) {
	for _, b := range s.view.Snapshots() {
		if b.Bath == name {
			return b, true
		}
	}
	return fold.Snapshot{}, false
}

// logPart is the list of entries alone, for a page that is open already.
func (s *server) logPart(w http.ResponseWriter, r *http.Request) {
	b, ok := s.find(r.PathValue("bath"))
	if !ok {
		s.nothingHere(w, r)
		return
	}
	lines, err := s.view.Events(r.Context(), b.Bath, logLines)
	if err != nil {
		s.trouble(w, r, err)
		return
	}
	s.render(w, r, func(out *bytes.Buffer) error { return s.pages.RenderLog(out, lines) })
}

// render writes a page at once or not at all: half a page could end before its
// alarms.
func (s *server) render(w http.ResponseWriter, r *http.Request, write func(*bytes.Buffer) error) {
	var out bytes.Buffer
	if err := write(&out); err != nil {
		s.trouble(w, r, err)
		return
	}
	s.send(w, http.StatusOK, "text/html; charset=utf-8", out.Bytes())
}

// send writes a whole answer. Nobody is left to be told if it fails.
func (s *server) send(w http.ResponseWriter, status int, kind string, body []byte) {
	w.Header().Set("Content-Type", kind)
	w.WriteHeader(status)
	if _, err := w.Write(body); err != nil {
		s.log.Debug("send answer", "err", err)
	}
}

func (s *server) nothingHere(w http.ResponseWriter, r *http.Request) {
	text := fmt.Sprintf("Nothing answers %s at %s. The list of baths is at /, the JSON interface is described at /api.", r.Method, r.URL.Path)
	s.refusePage(w, r, http.StatusNotFound, "Not here", text)
}

func (s *server) trouble(w http.ResponseWriter, r *http.Request, err error) {
	s.log.Error("answer request", "path", r.URL.Path, "err", err)
	s.refusePage(w, r, http.StatusInternalServerError, "This page could not be made", "The daemon's log says why. Look at the pan itself meanwhile.")
}

func (s *server) refusePage(w http.ResponseWriter, r *http.Request, status int, title, text string) {
	if wantsJSON(r) {
		writeError(w, status, text)
		return
	}
	site := s.view.Site()
	var out bytes.Buffer
	t := dashboards.Trouble{Site: site.Name, Version: site.Version, Title: title, Text: text, Assets: s.assets}
	if err := s.pages.RenderTrouble(&out, t); err != nil {
		s.log.Error("render trouble", "err", err)
	}
	s.send(w, status, "text/html; charset=utf-8", out.Bytes())
}

// lastOf reads ?last=, a length of time such as 30m or 3h.
func lastOf(r *http.Request) (time.Duration, error) {
	word := r.URL.Query().Get("last")
	if word == "" {
		return defaultLast, nil
	}
	last, err := time.ParseDuration(word)
	if err != nil || last < minLast || last > maxLast {
		return 0, fmt.Errorf("last=%q: want a length of time between 1m and 168h, such as 30m or 3h", word)
	}
	return last, nil
}

// sizeOf reads ?width= and ?height= in pixels; 0 stands for the drawing's own.
func sizeOf(r *http.Request) (width, height int, err error) {
	for name, place := range map[string]*int{"width": &width, "height": &height} {
		word := r.URL.Query().Get(name)
		if word == "" {
			continue
		}
		n, err := strconv.Atoi(word)
		if err != nil || n < 100 || n > 4000 {
			return 0, 0, fmt.Errorf("%s=%q: want pixels between 100 and 4000", name, word)
		}
		*place = n
	}
	return width, height, nil
}

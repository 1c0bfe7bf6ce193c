package web

import (
	"bytes"
	"io"
	"net/http"

	"bainward/dashboards"
)

// pan is the cross-section of one bath now.
func (s *server) pan(w http.ResponseWriter, r *http.Request) {
	b, ok := s.find(r.PathValue("bath"))
	if !ok {
		s.nothingHere(w, r)
		return
	}
	var out bytes.Buffer
	if err := dashboards.DrawPan(&out, b, dashboards.PanID(b.Bath), dark(r)); err != nil {
		s.trouble(w, r, err)
		return
	}
	s.send(w, http.StatusOK, "image/svg+xml", out.Bytes())
}

func (s *server) traceSVG(w http.ResponseWriter, r *http.Request) {
	s.trace(w, r, "image/svg+xml", dashboards.DrawSVG)
}

func (s *server) tracePNG(w http.ResponseWriter, r *http.Request) {
	s.trace(w, r, "image/png", dashboards.DrawPNG)
}

// trace draws the last stretch of one bath's readings.
func (s *server) trace(w http.ResponseWriter, r *http.Request, kind string, draw func(io.Writer, dashboards.Trace, dashboards.Options) error) {
	b, ok := s.find(r.PathValue("bath"))
	if !ok {
		s.nothingHere(w, r)
		return
	}
	last, err := lastOf(r)
	if err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "No such length", err.Error())
		return
	}
	width, height, err := sizeOf(r)
	if err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "No such size", err.Error())
		return
	}
	trace, err := s.view.Trace(r.Context(), b.Bath, last)
	if err != nil {
		s.trouble(w, r, err)
		return
	}
	var out bytes.Buffer
	if err := draw(&out, trace, dashboards.Options{Width: width, Height: height, Units: b.Units, Dark: dark(r)}); err != nil {
		s.trouble(w, r, err)
		return
	}
	s.send(w, http.StatusOK, kind, out.Bytes())
}

// dark reads ?dark, for drawings shown outside a page of ours.
func dark(r *http.Request) bool { return r.URL.Query().Has("dark") }

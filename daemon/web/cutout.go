package web

import (
	"context"
	"net/http"
	"strings"

	"bainward/dashboards"
)

// Cutouts are the heat cut-outs, as far as pages show and ask them. They are no
// substitute for a safety device. The methods may be called from several
// goroutines at once.
type Cutouts interface {
	// Cutouts lists the baths that have one, and how it stands at this instant.
	Cutouts() []Cutout
	// HeatBack gives the heat back to a bath after an alarm cut it. It returns once
	// that is in the record; an error is shown to the person as it is.
	HeatBack(ctx context.Context, bath, who string) error
}

// Cutout is one of them, as the pages show it.
type Cutout = dashboards.Cutout

// cutoutOf returns the cut-out of a bath; nil if it has none.
func (s *server) cutoutOf(bath string) *Cutout {
	if s.cutouts == nil {
		return nil
	}
	for _, c := range s.cutouts.Cutouts() {
		if c.Bath == bath {
			return &c
		}
	}
	return nil
}

type cutoutJSON struct {
	Cutout
	Stands string `json:"stands"`
	Says   string `json:"says"`
}

func cutoutJSONOf(c *Cutout) *cutoutJSON {
	if c == nil {
		return nil
	}
	return &cutoutJSON{Cutout: *c, Stands: c.Stands(), Says: c.Says()}
}

type heatRequest struct {
	Who string `json:"who"`
}

// doHeat gives the heat back. That the pan was looked at is asked on the page; who
// asks here vouches for it.
func (s *server) doHeat(w http.ResponseWriter, r *http.Request) {
	var in heatRequest
	b, ok := s.begin(w, r, &in)
	if !ok || !plain(w, "who", in.Who, maxWho) {
		return
	}
	s.finish(w, r, "the heat was given back to "+b.Bath, s.cutouts.HeatBack(r.Context(), b.Bath, strings.TrimSpace(in.Who)))
}

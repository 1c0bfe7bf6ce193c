package web

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"strings"

	"bainward/dashboards"
	"bainward/rules/batch/guide"
	"bainward/rules/fold"
)

// Guider leads through batches. A Doer that is one too has the guide served, on
// the page of each bath as well.
type Guider interface {
	// Guide leads through the batch of a bath, as it stands in the record.
	Guide(ctx context.Context, bath string) (guide.Guide, error)
	// Checklist records what was seen to before lighting: the keys in done, and all
	// others as not done.
	Checklist(ctx context.Context, bath string, done []string, who string) error
}

// guideRoutes adds what is there only where somebody leads.
func (s *server) guideRoutes(mux *http.ServeMux) {
	g, leads := s.doer.(Guider)
	if !leads {
		return
	}
	mux.HandleFunc("GET /api/bath/{bath}/guide", func(w http.ResponseWriter, r *http.Request) { s.apiGuide(w, r, g) })
	mux.HandleFunc("GET /bath/{bath}/guide", s.guidePart)
	mux.HandleFunc("POST /api/bath/{bath}/checklist", func(w http.ResponseWriter, r *http.Request) { s.doChecklist(w, r, g) })
}

func (s *server) apiGuide(w http.ResponseWriter, r *http.Request, guider Guider) {
	b, ok := s.apiFind(w, r)
	if !ok {
		return
	}
	g, err := guider.Guide(r.Context(), b.Bath)
	if err != nil {
		s.log.Error("lead through a batch for API", "bath", b.Bath, "err", err)
		writeError(w, http.StatusInternalServerError, "the guide could not be made; the daemon's log says why")
		return
	}
	g.Leads(s.leadsTo(b, g.Batch))
	s.sendJSON(w, struct {
		guide.Guide
		Present string `json:"present"` // the ID of a step: "fill", "hold-2"
	}{g, g.Present().ID()})
}

// guidePart is the guide alone, for a page that is open already. past names steps
// that its reader went past.
func (s *server) guidePart(w http.ResponseWriter, r *http.Request) {
	b, ok := s.find(r.PathValue("bath"))
	if !ok {
		s.nothingHere(w, r)
		return
	}
	g, err := s.guideOf(r.Context(), b, strings.Split(r.URL.Query().Get("past"), ","))
	if err != nil {
		s.trouble(w, r, err)
		return
	}
	s.render(w, r, func(out *bytes.Buffer) error { return s.pages.RenderGuide(out, g) })
}

// guideOf puts the guide of a bath in order for a page; nil where nobody leads.
func (s *server) guideOf(ctx context.Context, b fold.Snapshot, past []string) (*dashboards.Guide, error) {
	guider, leads := s.doer.(Guider)
	if !leads {
		return nil, nil
	}
	g, err := guider.Guide(ctx, b.Bath)
	if err != nil {
		return nil, err
	}
	g.Leads(s.leadsTo(b, g.Batch))
	v, err := dashboards.GuideOf(g, dashboards.Describe(b), past, func(to guide.To) string {
		if to.OfBath() {
			return "/api/bath/" + url.PathEscape(b.Bath) + "/" + string(to)
		}
		return "/api/batch/" + url.PathEscape(g.Batch) + "/" + string(to)
	})
	return &v, err
}

// guideNow is the guide for the whole page. One that cannot be made must not hide
// the alarms: the page goes without it.
func (s *server) guideNow(ctx context.Context, b fold.Snapshot) *dashboards.Guide {
	g, err := s.guideOf(ctx, b, nil)
	if err != nil {
		s.log.Error("lead through a batch for page", "bath", b.Bath, "err", err)
		return nil
	}
	return g
}

// leadsTo says where the pages are that a guide leads to; nowhere for one that is
// not served here.
func (s *server) leadsTo(b fold.Snapshot, batch string) func(guide.Page) string {
	_, draws := s.doer.(Papers)
	_, books := s.doer.(Goods)
	return func(p guide.Page) string {
		switch {
		case p == guide.PlanPage && s.plans():
			q := url.Values{"bath": {b.Bath}, "recipe": {b.Recipe.Name}}
			return "/plan?" + q.Encode()
		case p == guide.PhonesPage && s.phones != nil:
			return "#phones"
		case p == guide.SheetPage && draws && batch != "":
			return "/batch/" + url.PathEscape(batch) + "/sheet.pdf"
		case p == guide.LabelsPage && draws && batch != "":
			return "/batch/" + url.PathEscape(batch) + "/labels.pdf"
		case p == guide.ShelfPage && books:
			return "/shelf"
		}
		return ""
	}
}

type checklistRequest struct {
	Done []string `json:"done"`
	Who  string   `json:"who"`
}

func (s *server) doChecklist(w http.ResponseWriter, r *http.Request, guider Guider) {
	var in checklistRequest
	b, ok := s.begin(w, r, &in)
	if !ok || !plain(w, "who", in.Who, maxWho) {
		return
	}
	err := guider.Checklist(r.Context(), b.Bath, in.Done, strings.TrimSpace(in.Who))
	s.finish(w, r, "recorded: what was seen to before lighting", err)
}

package web

import (
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"

	"bainward/dashboards"
)

// Options is what New needs.
type Options struct {
	View    View         // required
	Doer    Doer         // required
	Logger  *slog.Logger // required
	Metrics http.Handler // served at /metrics; nil: nothing there
	Phones  Phones       // nil: nobody is called, and the pages show nothing of it
	Cutouts Cutouts      // nil: no bath has a cut-out, and the pages show nothing of it
	Doorway Doorway      // the zero one lets everybody in
}

func (o Options) validate() error {
	switch {
	case o.View == nil:
		return errors.New("web options: View is missing")
	case o.Doer == nil:
		return errors.New("web options: Doer is missing")
	case o.Logger == nil:
		return errors.New("web options: Logger is missing")
	}
	return nil
}

// server answers requests. It keeps nothing but when each bath last moved.
type server struct {
	view    View
	doer    Doer
	phones  Phones  // may be nil
	cutouts Cutouts // may be nil
	door    Doorway
	log     *slog.Logger
	pages   *dashboards.Pages
	assets  string
	ages    *ages
	streams chan struct{} // one place an open stream
}

// New returns the handler of the pages and the JSON interface.
func New(o Options) (http.Handler, error) {
	if err := o.validate(); err != nil {
		return nil, err
	}
	pages, err := dashboards.NewPages(o.View.Site().Zone)
	if err != nil {
		return nil, fmt.Errorf("start web pages: %w", err)
	}
	static, err := dashboards.Static()
	if err != nil {
		return nil, fmt.Errorf("start web pages: %w", err)
	}
	version, err := dashboards.StaticVersion()
	if err != nil {
		return nil, fmt.Errorf("start web pages: %w", err)
	}
	s := &server{
		view: o.View, doer: o.Doer, phones: o.Phones, cutouts: o.Cutouts, door: o.Doorway, log: o.Logger, pages: pages, assets: version,
		ages: newAges(), streams: make(chan struct{}, maxStreams),
	}
	return guard(s.keepDoor(s.routes(static, o.Metrics))), nil
}

func (s *server) routes(static fs.FS, metrics http.Handler) *http.ServeMux {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.home)
	mux.HandleFunc("GET /bath/{bath}", s.bath)
	mux.HandleFunc("GET /bath/{bath}/pan.svg", s.pan)
	mux.HandleFunc("GET /bath/{bath}/trace.svg", s.traceSVG)
	mux.HandleFunc("GET /bath/{bath}/trace.png", s.tracePNG)
	mux.HandleFunc("GET /bath/{bath}/log", s.logPart)
	mux.HandleFunc("GET /live", s.live)
	mux.HandleFunc("GET /api", s.apiPage)
	mux.HandleFunc("GET /api/baths", s.apiBaths)
	mux.HandleFunc("GET /api/bath/{bath}", s.apiBath)
	mux.HandleFunc("GET /api/bath/{bath}/log", s.apiLog)
	mux.HandleFunc("POST /api/bath/{bath}/event", s.doEvent)
	mux.HandleFunc("POST /api/bath/{bath}/void", s.doVoid)
	mux.HandleFunc("POST /api/bath/{bath}/alarm", s.doAlarm)
	mux.HandleFunc("POST /api/bath/{bath}/recipe", s.doRecipe)
	mux.HandleFunc("GET /alarms", s.alarms)
	mux.HandleFunc("GET /api/alarms", s.apiAlarms)
	mux.HandleFunc("GET /app.webmanifest", s.fromRoot(static, "app.webmanifest", "application/manifest+json"))
	mux.Handle("GET /static/", keep(http.StripPrefix("/static/", http.FileServerFS(static))))
	if metrics != nil {
		mux.Handle("GET /metrics", metrics)
	}
	if s.phones != nil {
		s.phoneRoutes(mux, static)
	}
	if s.cutouts != nil {
		mux.HandleFunc("POST /api/bath/{bath}/heat", s.doHeat)
	}
	s.signRoutes(mux)
	if s.plans() {
		s.planRoutes(mux)
	}
	s.goodsRoutes(mux)
	s.paperRoutes(mux)
	s.guideRoutes(mux)
	s.recipeRoutes(mux)
	s.probeRoutes(mux)
	s.doorRoutes(mux)
	mux.HandleFunc("/", s.nothingHere)
	return mux
}

// phoneRoutes adds what is there only where people are called.
func (s *server) phoneRoutes(mux *http.ServeMux, static fs.FS) {
	mux.HandleFunc("GET /phones", s.phonesPart)
	mux.HandleFunc("POST /phones/test", s.testAlarms)
	mux.HandleFunc("GET /api/phones", s.apiPhones)
	mux.HandleFunc("GET /a/{token}", s.showLink)
	mux.HandleFunc("POST /a/{token}", s.answerLink)
	mux.HandleFunc("GET /api/a/{token}", s.apiLookUp)
	mux.HandleFunc("POST /api/a/{token}", s.apiAnswer)
	mux.HandleFunc("GET /push/key", s.pushKey)
	mux.HandleFunc("POST /push/subscriptions", s.signUp)
	mux.HandleFunc("PUT /push/subscriptions", s.renew)
	mux.HandleFunc("DELETE /push/subscriptions", s.signOff)
	mux.HandleFunc("GET /wake.js", s.fromRoot(static, "wake.js", "text/javascript; charset=utf-8"))
}

// policy lets a page load only what this daemon serves, and lets no other page
// frame it. Inline styles and scripts are refused, so a text that slips into a
// page as markup does nothing.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"manifest-src 'self'; worker-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

// guard sets the headers of every answer and refuses changes that a page of
// another site asks for.
func guard(next http.Handler) http.Handler {
	own := http.NewCrossOriginProtection()
	own.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		writeError(w, http.StatusForbidden, "refused: the request comes from another site's page; open this page itself and press there")
	}))
	// A link's token is the leave to answer, and no other site knows it. Its form
	// comes with "Origin: null", because no address of ours is told to anybody.
	own.AddInsecureBypassPattern("POST /a/{token}")
	checked := own.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		checked.ServeHTTP(w, r)
	})
}

// keep lets browsers keep files whose address names their contents.
func keep(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-cache")
		if r.URL.Query().Has("v") {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		}
		next.ServeHTTP(w, r)
	})
}

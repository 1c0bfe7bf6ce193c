package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"bainward/dashboards"
	"bainward/rules/batch/ledger"
)

// Goods are the books of what is made: from which lots, where it stands, where it
// went. A Doer that is one too has them served. The methods may be called from
// several goroutines at once.
type Goods interface {
	// Books lets read look at the books and at today's day; it must not keep them.
	Books(read func(l *ledger.Ledger, today ledger.Day))
	// Course says how a batch went, from the record.
	Course(ctx context.Context, number string) (ledger.Course, error)
	// Enter returns once the fact is in the record, with what the books filled in.
	Enter(ctx context.Context, f ledger.Fact, who string) (ledger.Fact, error)
	// TakeBack takes an entry of goods back by a correcting entry.
	TakeBack(ctx context.Context, entry int64, reason, who string) error
}

// goodsRoutes adds what is there only where books are kept.
func (s *server) goodsRoutes(mux *http.ServeMux) {
	goods, kept := s.doer.(Goods)
	if !kept {
		return
	}
	g := &goodsServer{server: s, goods: goods}
	mux.HandleFunc("GET /api/batches", g.batches)
	mux.HandleFunc("GET /api/batch/{number}", g.sheet)
	mux.HandleFunc("GET /api/shelf", g.shelf)
	mux.HandleFunc("GET /api/lot/{lot...}", g.lot)
	mux.HandleFunc("GET /api/recall", g.recall)
	mux.HandleFunc("POST /api/batch/{number}/material", enter(g, func(in *materialRequest) (string, ledger.Fact) { return in.Who, in.Material }))
	mux.HandleFunc("POST /api/batch/{number}/weighing", enter(g, func(in *weighingRequest) (string, ledger.Fact) { return in.Who, in.Weighing }))
	mux.HandleFunc("POST /api/batch/{number}/bottles", enter(g, func(in *bottlesRequest) (string, ledger.Fact) {
		in.Bottles.Count = in.HowMany
		return in.Who, in.Bottles
	}))
	mux.HandleFunc("POST /api/batch/{number}/moved", enter(g, func(in *movedRequest) (string, ledger.Fact) { return in.Who, in.Moved }))
	mux.HandleFunc("POST /api/batch/{number}/given", enter(g, func(in *givenRequest) (string, ledger.Fact) { return in.Who, in.Given }))
	mux.HandleFunc("POST /api/batch/{number}/smelled", enter(g, func(in *smelledRequest) (string, ledger.Fact) { return in.Who, in.Smelled }))
	mux.HandleFunc("POST /api/batch/{number}/deviation", enter(g, func(in *deviationRequest) (string, ledger.Fact) { return in.Who, in.Deviation }))
	mux.HandleFunc("POST /api/goods/void", g.void)
	g.pageRoutes(mux)
}

type goodsServer struct {
	*server
	goods Goods
}

// What may be sent: a fact in the words of the record, and who enters it.
type (
	materialRequest struct {
		ledger.Material
		Who string `json:"who"`
	}
	weighingRequest struct {
		ledger.Weighing
		Who string `json:"who"`
	}
	bottlesRequest struct {
		ledger.Bottles
		HowMany int    `json:"count"`
		Who     string `json:"who"`
	}
	movedRequest struct {
		ledger.Moved
		Who string `json:"who"`
	}
	givenRequest struct {
		ledger.Given
		Who string `json:"who"`
	}
	smelledRequest struct {
		ledger.Smelled
		Who string `json:"who"`
	}
	deviationRequest struct {
		ledger.Deviation
		Who string `json:"who"`
	}
)

// enter returns the handler that enters one kind of fact. take gives the fact of a
// request; its batch is that of the address, whatever the body says.
func enter[Request any](g *goodsServer, take func(*Request) (who string, f ledger.Fact)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var in Request
		if !readJSON(w, r, &in) {
			return
		}
		who, f := take(&in)
		f, same := ledger.Named(f, r.PathValue("number"))
		if !same {
			writeError(w, http.StatusBadRequest, fmt.Sprintf("the address names %q and the body %q; leave the batch out of the body", r.PathValue("number"), ledger.Of(f)))
			return
		}
		if !plain(w, "who", who, maxWho) || !sound(w, f) {
			return
		}
		done, err := g.goods.Enter(r.Context(), f, strings.TrimSpace(who))
		if g.refused(w, r, err) {
			return
		}
		g.sendJSON(w, map[string]string{"done": "recorded: " + dashboards.SayFact(g.view.Site().Units, done)})
	}
}

// sound reports whether a fact makes sense by itself, or has answered why not.
// Bottles that are to get the next numbers have none yet: the books look at them.
func sound(w http.ResponseWriter, f ledger.Fact) bool {
	if b, ok := f.(ledger.Bottles); ok && len(b.Numbers) == 0 && b.Count > 0 {
		return true
	}
	if err := f.Check(); err != nil {
		writeError(w, http.StatusBadRequest, err.Error())
		return false
	}
	return true
}

// refused has answered if err is a refusal: 404 for a name that is not in the
// books, else 409.
func (g *goodsServer) refused(w http.ResponseWriter, r *http.Request, err error) bool {
	if err == nil {
		return false
	}
	g.log.Warn("refused", "path", r.URL.Path, "err", err)
	status := http.StatusConflict
	// Not errors.As: an entry that cannot be taken back may say so of a bottle that
	// would then be unknown.
	if _, unknown := err.(*ledger.UnknownError); unknown {
		status = http.StatusNotFound
	}
	writeError(w, status, dashboards.MachineWords(g.view.Site().Units, err.Error()))
	return true
}

func (g *goodsServer) void(w http.ResponseWriter, r *http.Request) {
	var in voidRequest
	if !readJSON(w, r, &in) || !plain(w, "reason", in.Reason, maxText) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	reason := strings.TrimSpace(in.Reason)
	if in.Entry < 1 || reason == "" {
		writeError(w, http.StatusBadRequest, "to take an entry back, give its number and a reason")
		return
	}
	err := g.goods.TakeBack(r.Context(), in.Entry, reason, strings.TrimSpace(in.Who))
	if !g.refused(w, r, err) {
		g.sendJSON(w, map[string]string{"done": fmt.Sprintf("taken back: entry %d", in.Entry)})
	}
}

package web

import (
	"net/http"

	"bainward/rules/batch/ledger"
)

func (g *goodsServer) batches(w http.ResponseWriter, _ *http.Request) {
	var all []ledger.Line
	g.goods.Books(func(l *ledger.Ledger, _ ledger.Day) { all = l.Batches() })
	g.sendJSON(w, map[string]any{"batches": all})
}

// sheet is all there is of one batch: its books, and how it went.
func (g *goodsServer) sheet(w http.ResponseWriter, r *http.Request) {
	number := r.PathValue("number")
	var sheet ledger.Sheet
	var err error
	g.goods.Books(func(l *ledger.Ledger, _ ledger.Day) { sheet.Account, err = l.Account(number) })
	if g.refused(w, r, err) {
		return
	}
	if sheet.Course, err = g.goods.Course(r.Context(), number); err != nil {
		g.log.Error("read record for API", "batch", number, "err", err)
		writeError(w, http.StatusInternalServerError, "the record could not be read; the daemon's log says why")
		return
	}
	g.sendJSON(w, sheet)
}

// shelf lists bottles: what stands there, what is due, or one with all that is
// behind it and all that it went into.
func (g *goodsServer) shelf(w http.ResponseWriter, r *http.Request) {
	query := r.URL.Query()
	var answer any
	var err error
	g.goods.Books(func(l *ledger.Ledger, today ledger.Day) {
		switch {
		case query.Has("bottle"):
			answer, err = l.Trail(query.Get("bottle"))
		case query.Has("due"):
			answer = map[string]any{"today": today, "due": l.Due(today), "places": l.PlacesDue()}
		default:
			answer = map[string]any{"today": today, "bottles": l.Shelf(), "places": l.PlacesNow()}
		}
	})
	if !g.refused(w, r, err) {
		g.sendJSON(w, answer)
	}
}

// lot answers a recall.
func (g *goodsServer) lot(w http.ResponseWriter, r *http.Request) {
	var recall ledger.Recall
	var err error
	g.goods.Books(func(l *ledger.Ledger, _ ledger.Day) { recall, err = ofLot(l, r.PathValue("lot")) })
	if !g.refused(w, r, err) {
		g.sendJSON(w, recall)
	}
}

// ofLot is what Ledger.From says, found faster where there are many batches.
func ofLot(l *ledger.Ledger, lot string) (ledger.Recall, error) {
	found, err := l.Find(lot)
	if err == nil && found[0].As == ledger.FoundLot {
		return found[0].Into, nil
	}
	return l.From(lot) // whose error says what lots there are
}

// recall answers for any name: a lot, batch, bottle, product or reference.
func (g *goodsServer) recall(w http.ResponseWriter, r *http.Request) {
	var found []ledger.Found
	var err error
	g.goods.Books(func(l *ledger.Ledger, _ ledger.Day) { found, err = l.Find(r.URL.Query().Get("find")) })
	if !g.refused(w, r, err) {
		g.sendJSON(w, map[string]any{"found": found})
	}
}

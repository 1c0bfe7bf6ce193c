package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
)

// GoodsPast is a Goods that tells of entries that were taken back, too. The page of
// a batch lists them if it is one.
type GoodsPast interface {
	// GoodsPast returns every entry of goods, in order.
	GoodsPast(ctx context.Context) ([]dashboards.GoodsEntry, error)
}

// batchesShown is how many batches one page lists. The books are held while the
// balance of each is struck, and the loop must not wait for a list.
const batchesShown = 20

// pageRoutes adds the pages of goods.
func (g *goodsServer) pageRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /batches", g.batchesPage)
	mux.HandleFunc("GET /batch/{number}", g.batchPage)
	mux.HandleFunc("GET /shelf", g.shelfPage)
	mux.HandleFunc("GET /recall", g.recallPage)
}

func (g *goodsServer) frame(shown string) dashboards.GoodsFrame {
	site := g.view.Site()
	return dashboards.GoodsFrame{
		Site: site.Name, Version: site.Version, Assets: g.assets, Demo: site.Demo, Units: site.Units,
		Places: g.places(shown), Standing: dashboards.StandingOf(g.view.Snapshots()),
	}
}

// batchesPage lists the batches; with ?find= it leads to the answer of a recall.
func (g *goodsServer) batchesPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if find := strings.TrimSpace(q.Get("find")); find != "" {
		http.Redirect(w, r, "/recall?find="+url.QueryEscape(find), http.StatusSeeOther)
		return
	}
	number, err := pageNumber(q.Get("page"))
	if err != nil {
		g.refusePage(w, r, http.StatusBadRequest, "No such page", err.Error())
		return
	}
	p := dashboards.BatchesPage{GoodsFrame: g.frame("/batches")}
	g.goods.Books(func(l *ledger.Ledger, _ ledger.Day) {
		var lines []ledger.Line
		lines, p.All = l.Newest((number-1)*batchesShown, batchesShown)
		for _, line := range lines {
			strength, _ := l.Strength(line.Batch) // the batch is of these books
			p.Batches = append(p.Batches, dashboards.BatchRowOf(p.Units, line, strength))
		}
		if number*batchesShown < p.All {
			p.Earlier = number + 1
		}
		p.Later = number - 1
	})
	if len(p.Batches) == 0 && number > 1 {
		g.refusePage(w, r, http.StatusNotFound, "No such page", fmt.Sprintf("There is no page %d of the batches; they begin at /batches.", number))
		return
	}
	mayAsk(w)
	g.render(w, r, func(out *bytes.Buffer) error { return g.pages.RenderBatches(out, p) })
}

func pageNumber(word string) (int, error) {
	if word == "" {
		return 1, nil
	}
	n, err := strconv.Atoi(word)
	if err != nil || n < 1 || n > 1_000_000 {
		return 0, fmt.Errorf("page=%q: want a whole number from 1", word)
	}
	return n, nil
}

// batchPage shows everything of one batch.
func (g *goodsServer) batchPage(w http.ResponseWriter, r *http.Request) {
	number := r.PathValue("number")
	d, forms, err := g.batchData(number)
	if err != nil {
		g.refuseName(w, r, "No such batch", err)
		return
	}
	if d.Course, err = g.goods.Course(r.Context(), number); err != nil {
		// What stands in the books must not be hidden by it.
		g.log.Error("read course for page", "batch", number, "err", err)
		d.CourseTrouble = "How it went could not be read; the daemon's log says why."
	}
	trouble := ""
	if d.Past, err = g.pastOf(r.Context(), number, d.Into.Products); err != nil {
		g.log.Error("read entries of goods for page", "batch", number, "err", err)
		trouble = "What was entered could not be read; the daemon's log says why."
	}
	site := g.view.Site()
	p := dashboards.BatchPageOf(site.Units, d)
	p.GoodsFrame, p.PastTrouble = g.frame(""), trouble
	p.Forms = dashboards.BatchFormsOf(site.Units, forms)
	_, p.Papers = g.doer.(Papers)
	p.Sign = g.signBox(r, number, forms.Address, !p.Closed.IsZero())
	p.Letter = site.Units == rules.US
	if p.Papers {
		mayAsk(w) // for labels
	}
	g.render(w, r, func(out *bytes.Buffer) error { return g.pages.RenderBatch(out, p) })
}

// batchData takes out of the books what the page of a batch needs.
func (g *goodsServer) batchData(number string) (d dashboards.BatchData, forms dashboards.FormsData, err error) {
	g.goods.Books(func(l *ledger.Ledger, today ledger.Day) {
		if d.Account, err = l.Account(number); err != nil {
			return
		}
		var found []ledger.Found
		if found, err = l.Find(number); err != nil {
			return
		}
		i := slices.IndexFunc(found, func(f ledger.Found) bool { return f.As == ledger.FoundBatch && f.Name == number })
		if i < 0 {
			err = fmt.Errorf("batch %s has an account and is not found", number)
			return
		}
		d.Into = found[i].Into
		forms = dashboards.FormsData{Known: l.Materials(), Today: today}
	})
	forms.Address, forms.Account, forms.Into = "/api/batch/"+url.PathEscape(number), d.Account, d.Into
	forms.Bath = bathOfBatch(g.view.Snapshots(), d.Account)
	return d, forms, err
}

// bathOfBatch returns the bath that makes the batch, else one that goes by its
// recipe; nil if there is none.
func bathOfBatch(baths []fold.Snapshot, a ledger.Account) *fold.Snapshot {
	for i, b := range baths {
		if b.Batch == a.Batch {
			return &baths[i]
		}
	}
	for i, b := range baths {
		if b.Recipe.Name == a.Recipe {
			return &baths[i]
		}
	}
	return nil
}

// pastOf returns the entries of a batch and of what was made of it.
func (g *goodsServer) pastOf(ctx context.Context, number string, products []ledger.Product) ([]dashboards.GoodsEntry, error) {
	teller, tells := g.goods.(GoodsPast)
	if !tells {
		return nil, nil
	}
	all, err := teller.GoodsPast(ctx)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(all, func(e dashboards.GoodsEntry) bool {
		of := ledger.Of(e.Fact)
		given, is := e.Fact.(ledger.Given)
		made := is && given.Bottle == 0 && slices.ContainsFunc(products, func(p ledger.Product) bool { return p.Number == of })
		return of != number && !made
	}), nil
}

func (g *goodsServer) shelfPage(w http.ResponseWriter, r *http.Request) {
	units := g.view.Site().Units
	var p dashboards.ShelfPage
	g.goods.Books(func(l *ledger.Ledger, today ledger.Day) {
		p = dashboards.ShelfPageOf(units, l.Shelf(), l.Due(today), l.PlacesNow(), today)
	})
	p.GoodsFrame = g.frame("/shelf")
	g.render(w, r, func(out *bytes.Buffer) error { return g.pages.RenderShelf(out, p) })
}

// maxFind bounds what is looked for: no name in the books is longer.
const maxFind = 500

// recallPage answers a recall of anything that has a name.
func (g *goodsServer) recallPage(w http.ResponseWriter, r *http.Request) {
	asked := strings.TrimSpace(r.URL.Query().Get("find"))
	p := dashboards.RecallPage{}
	status := http.StatusOK
	if len(asked) > maxFind {
		asked, status, p.Error = "", http.StatusBadRequest, fmt.Sprintf("Nothing has a name of more than %d letters", maxFind)
	}
	if asked != "" {
		var found []ledger.Found
		var err error
		g.goods.Books(func(l *ledger.Ledger, _ ledger.Day) { found, err = l.Find(asked) })
		if err != nil {
			status, p.Error = http.StatusNotFound, err.Error()
		} else {
			p = dashboards.RecallPageOf(g.view.Site().Units, found)
		}
	}
	p.GoodsFrame, p.Asked, p.At = g.frame("/recall"), asked, time.Now()
	var out bytes.Buffer
	if err := g.pages.RenderRecall(&out, p); err != nil {
		g.trouble(w, r, err)
		return
	}
	mayAsk(w)
	g.send(w, status, "text/html; charset=utf-8", out.Bytes())
}

// refuseName says on a page that the books hold nothing of a name.
func (g *goodsServer) refuseName(w http.ResponseWriter, r *http.Request, title string, err error) {
	if unknown := new(ledger.UnknownError); !errors.As(err, &unknown) {
		g.trouble(w, r, err)
		return
	}
	g.refusePage(w, r, http.StatusNotFound, title, "In these books "+err.Error())
}

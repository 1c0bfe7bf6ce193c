package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"bainward/rules/batch/ledger"
)

// Sheets draws the sheets of batches. A Doer that is one too has them served. Its
// errors are shown as they are; of a batch that is not there they are a
// *ledger.UnknownError.
type Sheets interface {
	SheetPDF(ctx context.Context, number string, letter bool) ([]byte, error)
}

// Labels draws labels for the bottles of a batch, and is served like Sheets.
type Labels interface {
	LabelsPDF(ctx context.Context, number string, ask LabelAsk) ([]byte, error)
}

// Papers draws both: then pages lead to them.
type Papers interface {
	Sheets
	Labels
}

// LabelAsk is which labels are wanted, and on what paper.
type LabelAsk struct {
	Size    string // such as 70x37, which brings its own page; empty: the smallest sheet that holds them
	Bottles []int  // their numbers; none: all
	Blank   int    // so many without a number, in place of those
	Skip    int    // places on the first page that are used up
	Single  bool   // one a page of that size, for a printer of labels
	Letter  bool   // where no size is named: Letter paper in place of A4
}

// paperRoutes adds what is there only where something can be drawn.
func (s *server) paperRoutes(mux *http.ServeMux) {
	if sheets, draws := s.doer.(Sheets); draws {
		mux.HandleFunc("GET /batch/{number}/sheet.pdf", func(w http.ResponseWriter, r *http.Request) {
			s.sheetPDF(w, r, sheets)
		})
	}
	if labels, draws := s.doer.(Labels); draws {
		mux.HandleFunc("GET /batch/{number}/labels.pdf", func(w http.ResponseWriter, r *http.Request) {
			s.labelsPDF(w, r, labels)
		})
	}
}

func (s *server) sheetPDF(w http.ResponseWriter, r *http.Request, sheets Sheets) {
	letter, err := pageAsk(r.URL.Query(), "page")
	if err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "Not drawn", err.Error())
		return
	}
	number := r.PathValue("number")
	pdf, err := sheets.SheetPDF(r.Context(), number, letter)
	s.sendPDF(w, r, "batch-"+number+".pdf", pdf, err)
}

func (s *server) labelsPDF(w http.ResponseWriter, r *http.Request, labels Labels) {
	ask, err := labelAsk(r.URL.Query())
	if err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "Not drawn", err.Error())
		return
	}
	number := r.PathValue("number")
	pdf, err := labels.LabelsPDF(r.Context(), number, ask)
	s.sendPDF(w, r, "labels-"+number+".pdf", pdf, err)
}

// sendPDF sends what was drawn for a browser to show, or says why it was not.
func (s *server) sendPDF(w http.ResponseWriter, r *http.Request, name string, pdf []byte, err error) {
	if err != nil {
		s.log.Warn("draw for the pages", "path", r.URL.Path, "err", err)
		status := http.StatusUnprocessableEntity
		if unknown := (*ledger.UnknownError)(nil); errors.As(err, &unknown) {
			status = http.StatusNotFound
		}
		s.refusePage(w, r, status, "Not drawn", err.Error())
		return
	}
	w.Header().Set("Content-Disposition", `inline; filename="`+fileName(name)+`"`)
	s.send(w, http.StatusOK, "application/pdf", pdf)
}

// fileName keeps of a name what every file system takes.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_', r == '.':
			return r
		}
		return '-'
	}, name)
}

// pageAsk reads page=a4 or page=letter; nothing but the other known names may
// stand beside it, for a slip would draw other labels than were meant.
func pageAsk(q url.Values, known ...string) (letter bool, err error) {
	for name := range q {
		if !slices.Contains(known, name) {
			return false, fmt.Errorf("%s is unknown here; known are %s", name, strings.Join(known, ", "))
		}
	}
	switch page := q.Get("page"); page {
	case "", "a4":
		return false, nil
	case "letter":
		return true, nil
	default:
		return false, fmt.Errorf("page=%q: want a4 or letter", page)
	}
}

func labelAsk(q url.Values) (ask LabelAsk, err error) {
	ask.Size, ask.Single = q.Get("size"), q.Get("single") != ""
	if ask.Letter, err = pageAsk(q, "size", "bottles", "blank", "skip", "single", "page"); err != nil {
		return ask, err
	}
	if ask.Blank, err = countAsk(q, "blank"); err != nil {
		return ask, err
	}
	if ask.Skip, err = countAsk(q, "skip"); err != nil {
		return ask, err
	}
	if q.Get("bottles") == "" {
		return ask, nil
	}
	for word := range strings.SplitSeq(q.Get("bottles"), ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 {
			return ask, fmt.Errorf("bottles=%q: want numbers of bottles such as 1,2", q.Get("bottles"))
		}
		ask.Bottles = append(ask.Bottles, n)
	}
	return ask, nil
}

func countAsk(q url.Values, name string) (int, error) {
	if q.Get(name) == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(q.Get(name))
	if err != nil || n < 0 {
		return 0, fmt.Errorf("%s=%q: want a number such as 3", name, q.Get(name))
	}
	return n, nil
}

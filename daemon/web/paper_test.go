package web

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"testing"

	"bainward/rules/batch/ledger"
)

// printer is a Doer that draws.
type printer struct {
	*fakeDoer
	letter bool
	asked  LabelAsk
	err    error
}

func (p *printer) SheetPDF(_ context.Context, number string, letter bool) ([]byte, error) {
	p.letter = letter
	return []byte("%PDF-1.4 sheet of " + number), p.err
}

func (p *printer) LabelsPDF(_ context.Context, number string, ask LabelAsk) ([]byte, error) {
	p.asked = ask
	return []byte("%PDF-1.4 labels of " + number), p.err
}

func fetch(h http.Handler, path string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
	return w
}

// Sheet and labels are served to be shown, under a name that every computer takes.
func TestPapersAreServed(t *testing.T) {
	p := &printer{fakeDoer: newFakeDoer()}
	h := newHandler(t, newFakeView(holding("north")), p)
	for path, want := range map[string]struct{ name, body string }{
		"/batch/2026-03-01-north-1/sheet.pdf":              {`inline; filename="batch-2026-03-01-north-1.pdf"`, "%PDF-1.4 sheet of 2026-03-01-north-1"},
		"/batch/b%22%2F1/sheet.pdf?page=letter":            {`inline; filename="batch-b--1.pdf"`, `%PDF-1.4 sheet of b"/1`},
		"/batch/2026-03-01-north-1/labels.pdf?bottles=1,2": {`inline; filename="labels-2026-03-01-north-1.pdf"`, "%PDF-1.4 labels of 2026-03-01-north-1"},
	} {
		w := fetch(h, path)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/pdf" || w.Header().Get("Content-Disposition") != want.name || w.Body.String() != want.body {
			t.Errorf("GET %s: status %d, %v, %q", path, w.Code, w.Header(), w.Body)
		}
	}
	if fetch(h, "/batch/b/sheet.pdf?page=letter"); !p.letter {
		t.Error("Letter was asked for and not drawn")
	}
}

// What is asked of labels arrives as it was meant, and slips are told.
func TestWhatIsAskedOfLabels(t *testing.T) {
	p := &printer{fakeDoer: newFakeDoer()}
	h := newHandler(t, newFakeView(holding("north")), p)
	want := LabelAsk{Size: "70x37", Bottles: []int{1, 3}, Skip: 4, Blank: 0, Single: true, Letter: true}
	if w := fetch(h, "/batch/b/labels.pdf?size=70x37&bottles=1,%203&skip=4&single=1&page=letter"); w.Code != http.StatusOK || !reflect.DeepEqual(p.asked, want) {
		t.Errorf("status %d, asked %+v, want %+v", w.Code, p.asked, want)
	}
	for query, says := range map[string]string{
		"bottles=1,x": `want numbers of bottles such as 1,2`,
		"bottles=0":   `want numbers of bottles such as 1,2`,
		"skip=-1":     `: want a number such as 3`,
		"blank=many":  `want a number such as 3`,
		"page=a5":     `want a4 or letter`,
		"bottle=1":    `bottle is unknown here; known are size, bottles`,
	} {
		if w := fetch(h, "/batch/b/labels.pdf?"+query); w.Code != http.StatusBadRequest || !strings.Contains(w.Body.String(), says) {
			t.Errorf("%s: status %d %s, want %s", query, w.Code, w.Body, says)
		}
	}
}

// What cannot be drawn is told in plain words; a batch that is not there is 404.
func TestWhatCannotBeDrawnIsTold(t *testing.T) {
	p := &printer{fakeDoer: newFakeDoer()}
	h := newHandler(t, newFakeView(holding("north")), p)
	p.err = &ledger.UnknownError{What: "batch", Name: "b9", Hint: `did you mean "b1"?`}
	if w := fetch(h, "/batch/b9/sheet.pdf"); w.Code != http.StatusNotFound || !strings.Contains(w.Body.String(), "is not in the record") || w.Header().Get("Content-Disposition") != "" {
		t.Errorf("status %d %s", w.Code, w.Body)
	}
	p.err = errors.New("no typeface has the letter")
	if w := fetch(h, "/batch/b1/labels.pdf"); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "no typeface has the letter") {
		t.Errorf("status %d %s", w.Code, w.Body)
	}
	if w := fetch(newHandler(t, newFakeView(holding("north")), newFakeDoer()), "/batch/b1/sheet.pdf"); w.Code != http.StatusNotFound {
		t.Errorf("where nothing can be drawn: status %d", w.Code)
	}
}

package web

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"sync"
	"testing"

	"bainward/rules"
	"bainward/rules/batch/guide"
	"bainward/rules/fold"
)

// leader is a Doer that leads through a batch, as far as a snapshot tells of it.
type leader struct {
	*fakeDoer
	mu     sync.Mutex
	in     guide.In
	broken error
}

func newLeader(s fold.Snapshot) *leader {
	return &leader{fakeDoer: newFakeDoer(), in: guide.In{Now: s, Recipes: []string{"ribwort-fresh", "marigold-dried"}}}
}

func (l *leader) Guide(context.Context, string) (guide.Guide, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return guide.Of(l.in), l.broken
}

func (l *leader) Checklist(_ context.Context, bath string, done []string, who string) error {
	return l.did("checklist %s %s by %s", bath, strings.Join(done, "+"), who)
}

// stands lets the bath stand otherwise from now on.
func (l *leader) stands(change func(*guide.In)) {
	l.mu.Lock()
	defer l.mu.Unlock()
	change(&l.in)
}

// Programs read where a batch stands, with what is asked and where it goes.
func TestTheGuideIsServedAsJSON(t *testing.T) {
	s := base("north")
	s.Batch = "2026-03-01-north-1"
	h := newHandler(t, newFakeView(s), newLeader(s))
	code, _, body := get(t, h, "/api/bath/north/guide")
	var got struct {
		Batch   string
		Present string
		Steps   []struct {
			Step   string
			Stands string
			Form   *struct {
				To     string
				Fixed  map[string]any
				Fields []struct{ Name, Kind, Value string }
			}
		}
	}
	if err := json.Unmarshal([]byte(body), &got); err != nil || code != http.StatusOK {
		t.Fatalf("%d %s: %v", code, body, err)
	}
	if got.Batch != s.Batch || got.Present != "checklist" || len(got.Steps) < 15 {
		t.Fatalf("%+v", got)
	}
	for _, step := range got.Steps {
		if step.Step == "herb" && (step.Form == nil || step.Form.To != "material" || step.Form.Fixed["name"] != s.Recipe.Herb || step.Form.Fields[0].Value != "220") {
			t.Errorf("the herb is asked for as %+v", step.Form)
		}
	}
	if code, _, body = get(t, h, "/api/bath/attic/guide"); code != http.StatusNotFound {
		t.Errorf("a bath that is not there: %d %s", code, body)
	}
	if code, _, _ = get(t, newHandler(t, newFakeView(s), newFakeDoer()), "/api/bath/north/guide"); code != http.StatusNotFound {
		t.Errorf("where nobody leads: %d", code)
	}
}

// The present step stands in the open on the page of the bath, the others are put
// away; all of it can be read without a script, and what a recipe says is no markup.
func TestThePageShowsThePresentStep(t *testing.T) {
	s := base("north")
	s.Batch, s.Recipe.Herb = "2026-03-01-north-1", "<script>alert(1)</script>"
	h := newHandler(t, newFakeView(s), newLeader(s))
	_, _, page := get(t, h, "/bath/north")
	for _, want := range []string{
		`class="guide-now" data-step="checklist" data-stands="present"`, "Dry oven gloves are at hand.", "Step 2 of ", `data-to="/api/bath/north/checklist"`,
		`data-to="/api/batch/2026-03-01-north-1/material"`, "&lt;script&gt;alert(1)",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not hold %q", want)
		}
	}
	if strings.Contains(page, "<script>alert") {
		t.Error("the recipe's text is markup")
	}
	_, _, part := get(t, h, "/bath/north/guide?past=checklist")
	if !strings.Contains(part, `class="guide-now" data-step="fill"`) || strings.Contains(part, "<html") || !strings.Contains(part, "Still to be entered: 1") {
		t.Errorf("past the checklist stands\n%s", part)
	}
}

// A page without a guide shows the alarms all the same.
func TestThePageGoesWithoutAGuide(t *testing.T) {
	s := boilingDry("north")
	broken := newLeader(s)
	broken.broken = errBroken
	for name, d := range map[string]Doer{"nobody leads": newFakeDoer(), "the guide is broken": broken} {
		code, _, page := get(t, newHandler(t, newFakeView(s), d), "/bath/north")
		if code != http.StatusOK || strings.Contains(page, "data-guide>") || !strings.Contains(page, "The pan is boiling dry.") {
			t.Errorf("%s: %d\n%.400s", name, code, page)
		}
	}
	if code, _, _ := get(t, newHandler(t, newFakeView(s), broken), "/api/bath/north/guide"); code != http.StatusInternalServerError {
		t.Errorf("a broken guide answers %d", code)
	}
}

// A step leads to pages that are served, and to no others.
func TestStepsLeadToPagesThatAreServed(t *testing.T) {
	s := base("north")
	s.Batch, s.Phase = "2026-03-01-north-1", rules.Bottled
	_, _, page := get(t, newHandler(t, newFakeView(s), newLeader(s)), "/bath/north")
	for _, not := range []string{"sheet.pdf", "labels.pdf", `href="/shelf"`} {
		if strings.Contains(page, not) {
			t.Errorf("something leads to %s, which is not served", not)
		}
	}
	draws := struct {
		*leader
		Papers
	}{newLeader(s), &printer{}}
	_, _, page = get(t, newHandler(t, newFakeView(s), draws), "/bath/north")
	if !strings.Contains(page, `href="/batch/2026-03-01-north-1/labels.pdf"`) || !strings.Contains(page, `href="/batch/2026-03-01-north-1/sheet.pdf"`) {
		t.Error("nothing leads to the papers")
	}
}

// A checklist goes to the Doer whole, or is refused in words.
func TestAChecklistIsEntered(t *testing.T) {
	s := base("north")
	l := newLeader(s)
	h := newHandler(t, newFakeView(s), l)
	code, body := post(h, "/api/bath/north/checklist", `{"done": ["gloves", "lid"], "who": " Robin "}`)
	if asked := nextDeed(t, l.fakeDoer); code != http.StatusOK || asked != "checklist north gloves+lid by Robin" {
		t.Errorf("%d %s, the Doer was asked for %s", code, body, asked)
	}
	l.refuse = errBroken
	if code, body = post(h, "/api/bath/north/checklist", `{"done": []}`); code != http.StatusConflict || !strings.Contains(body, "disk gone") {
		t.Errorf("refused with %d %s", code, body)
	}
	for body, want := range map[string]int{`{"done": "gloves"}`: 400, `{"ticked": []}`: 400, `{"done": [], "who": "a\nb"}`: 400} {
		if code, got := post(h, "/api/bath/north/checklist", body); code != want {
			t.Errorf("%s: %d %s", body, code, got)
		}
	}
}

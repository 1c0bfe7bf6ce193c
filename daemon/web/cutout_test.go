package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"strings"
	"testing"
)

const caution = "no substitute for a safety device"

// A site without cut-outs has neither a line nor an address of them.
func TestWithoutCutoutsThePagesSayNothingOfThem(t *testing.T) {
	h := newHandler(t, newFakeView(holding("north")), newFakeDoer())
	if body := page(t, h, "/"); strings.Contains(body, "data-cutout") || strings.Contains(body, caution) {
		t.Error("the page tells of a cut-out")
	}
	if status, _ := post(h, "/api/bath/north/heat", `{"who":"AB"}`); status != http.StatusNotFound {
		t.Errorf("giving heat back: status %d, want 404", status)
	}
	if cutout := cutoutInJSON(t, h, "north"); cutout != nil {
		t.Errorf("the cut-out in JSON is %v, want null", cutout)
	}
}

// The line, whatever it says, comes with the caution; the button only where an
// alarm cut the heat.
func TestThePageSaysWhetherTheHeatIsCut(t *testing.T) {
	for _, c := range []struct {
		cutout Cutout
		says   string
		back   bool
	}{
		{Cutout{Bath: "north", Allow: true}, "Heat allowed.", false},
		{dryCut("north"), "Heat cut by boiling-dry.", true},
		{Cutout{Bath: "north", Why: "the bath was not read for 10s"}, "Heat cut: the bath was not read for 10s.", false},
		{Cutout{Bath: "north", Tripped: "boiling-dry", Fault: "switch <GPIO27>"}, "Heat not cut: it may still be on.", true},
	} {
		body := page(t, withCutouts(t, newFakeView(boilingDry("north"), holding("south")), newFakeCutouts(c.cutout)), "/bath/north")
		if !strings.Contains(body, c.says) || !strings.Contains(body, caution) {
			t.Errorf("%+v: the page lacks %q or its caution", c.cutout, c.says)
		}
		if back := strings.Contains(body, "data-heat-back>"); back != c.back {
			t.Errorf("%+v: the button is shown: %t, want %t", c.cutout, back, c.back)
		}
		if strings.Contains(body, "<GPIO27>") {
			t.Error("a fault becomes markup")
		}
	}
}

// Of two baths only the one that has a cut-out tells of it, on the page of both.
func TestACutoutIsOfItsOwnBath(t *testing.T) {
	h := withCutouts(t, newFakeView(boilingDry("north"), holding("south")), newFakeCutouts(dryCut("north")))
	if n := strings.Count(page(t, h, "/"), "data-cutout"); n != 1 {
		t.Errorf("the page of both baths has %d cut-outs, want 1", n)
	}
	if strings.Contains(page(t, h, "/bath/south"), "data-cutout") {
		t.Error("a bath without a cut-out shows one")
	}
	got := cutoutInJSON(t, h, "north")
	if got["allow"] != false || got["tripped"] != "boiling-dry" || got["stands"] != "cut" || got["says"] == "" {
		t.Errorf("the cut-out in JSON is %v", got)
	}
	if cutout := cutoutInJSON(t, h, "south"); cutout != nil {
		t.Errorf("the other bath's cut-out in JSON is %v, want null", cutout)
	}
}

// Who gives the heat back reaches the cut-outs; a refusal keeps its words.
func TestHeatIsGivenBack(t *testing.T) {
	c := newFakeCutouts(dryCut("north"))
	h := withCutouts(t, newFakeView(boilingDry("north")), c)
	status, text := post(h, "/api/bath/north/heat", `{"who":" AB "}`)
	if status != http.StatusOK || text != "the heat was given back to north" {
		t.Errorf("status %d, %q", status, text)
	}
	if got := <-c.asked; got != "north by AB" {
		t.Errorf("the cut-outs were asked for %s", got)
	}
	c.refuse = errors.New(`reset the cut-out of "north": boiling-dry still stands: see to the bath, then acknowledge and reset the alarm`)
	if status, text := post(h, "/api/bath/north/heat", `{"who":"AB"}`); status != http.StatusConflict || text != c.refuse.Error() {
		t.Errorf("refused: status %d, %q", status, text)
	}
}

// What is wrong, or comes from another site's page, gives no heat.
func TestWrongRequestsGiveNoHeat(t *testing.T) {
	c := newFakeCutouts(dryCut("north"))
	h := withCutouts(t, newFakeView(boilingDry("north")), c)
	for _, r := range []struct {
		path, body string
		header     []string
		status     int
	}{
		{"/api/bath/west/heat", `{"who":"AB"}`, nil, http.StatusNotFound},
		{"/api/bath/north/heat", `{"who":"A\nB"}`, nil, http.StatusBadRequest},
		{"/api/bath/north/heat", `{"who":"` + strings.Repeat("x", maxWho+1) + `"}`, nil, http.StatusBadRequest},
		{"/api/bath/north/heat", `{"who":"AB","force":true}`, nil, http.StatusBadRequest},
		{"/api/bath/north/heat", `who=AB`, []string{"Content-Type", "application/x-www-form-urlencoded"}, http.StatusUnsupportedMediaType},
		{"/api/bath/north/heat", `{"who":"AB"}`, []string{"Sec-Fetch-Site", "cross-site"}, http.StatusForbidden},
	} {
		if status, text := post(h, r.path, r.body, r.header...); status != r.status || text == "" {
			t.Errorf("POST %s %.40s: status %d %q, want %d", r.path, r.body, status, text, r.status)
		}
	}
	if len(c.asked) > 0 {
		t.Errorf("the cut-outs were asked for %s", <-c.asked)
	}
}

// cutoutInJSON is what programs read of the cut-out of a bath; nil if it is null.
func cutoutInJSON(t *testing.T, h http.Handler, bath string) map[string]any {
	t.Helper()
	var b struct{ Cutout map[string]any }
	text := page(t, h, "/api/bath/"+bath)
	if err := json.Unmarshal([]byte(text), &b); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(text, `"cutout":`) {
		t.Fatal("the field is missing")
	}
	return b.Cutout
}

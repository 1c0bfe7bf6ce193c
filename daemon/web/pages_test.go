package web

import (
	"bytes"
	"encoding/json"
	"html"
	"image/png"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// get asks h for a path and returns status, header and body.
func get(t *testing.T, h http.Handler, path string) (int, http.Header, string) {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
	// As a reader reads it: a space is a space.
	return w.Code, w.Header(), strings.ReplaceAll(w.Body.String(), "\u00a0", " ")
}

// page asks for a page that must be there.
func page(t *testing.T, h http.Handler, path string) string {
	t.Helper()
	status, _, body := get(t, h, path)
	if status != http.StatusOK {
		t.Fatalf("GET %s: status %d\n%s", path, status, body)
	}
	return body
}

func TestTheOnlyBathIsTheFirstPage(t *testing.T) {
	body := page(t, newHandler(t, newFakeView(holding("north")), newFakeDoer()), "/")
	for _, want := range []string{
		"Alder Yard", "91.4 °C", "99.7 °C", "99.9 °C", "from the barometer: 1009 hPa", "The oil is hot enough and the hold counts.",
		"52 min of 2 h 00 min", `about <time datetime="2026-03-01T10:51:40Z">`, "in 22 min", "What is reckoned", "one lies below it and one above", "455 W", "5.2 W/K", "not a safety device", "no cold water", "Never water", `class="pan"`, `class="trace"`,
		"Topped up", "Take back", `<meta http-equiv="refresh"`,
	} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestSeveralBathsStandSideBySide(t *testing.T) {
	h := newHandler(t, newFakeView(holding("north"), boilingDry("south"), silent("yard")), newFakeDoer())
	body := page(t, h, "/")
	for _, name := range []string{"north", "south", "yard"} {
		if !strings.Contains(body, `data-bath="`+name+`"`) || !strings.Contains(body, `href="/bath/`+name+`"`) {
			t.Errorf("no card of %s with a way to it", name)
		}
	}
	if one := page(t, h, "/bath/south"); strings.Contains(one, `data-bath="north"`) || !strings.Contains(one, "no water under the probe") {
		t.Error("the page of one bath shows another, or not its own")
	}
}

func TestOpenAlarmsComeBeforeEverythingElse(t *testing.T) {
	body := page(t, newHandler(t, newFakeView(boilingDry("north")), newFakeDoer()), "/")
	order := []string{"<h1>north", "there is no water under the probe", "Turn the heat off. Pour no cold water", "below the dish base", "The pan is boiling dry.", `class="figure"`, `class="pan"`, `class="trace"`}
	last := -1
	for _, words := range order {
		at := strings.Index(body, words)
		if at <= last {
			t.Errorf("%q comes at %d, want it after the one before (%d)", words, at, last)
		}
		last = at
	}
	if !regexp.MustCompile(`data-alarm="too-short"[^>]* hidden`).MatchString(body) {
		t.Error("an alarm that does not stand is shown")
	}
	if !regexp.MustCompile(`data-alarm="boiling-dry"[^>]*data-state="unacknowledged">`).MatchString(body) {
		t.Error("the open alarm is hidden or its state is missing")
	}
}

// What people and other systems wrote must stay text, wherever it is shown.
func TestTextFromPeopleStaysText(t *testing.T) {
	const evil = `<script>alert("x")</script><img src=x onerror=alert(1)>`
	s := boilingDry("north")
	s.Bath, s.Sentence, s.Recipe.Herb, s.Batch = evil, evil, evil, evil
	a := &s.Alarms[rules.BoilingDry]
	a.Text, a.Advice = evil, evil
	v := newFakeView(s)
	v.site.Name, v.site.Recipes = evil, []string{evil}
	v.lines = []LogLine{{Entry: 1, Text: "note " + evil, Voidable: true}}
	v.trace.Bath, v.trace.Marks[0].Text = evil, evil
	h := newHandler(t, v, newFakeDoer())
	v.set(s, holding("south"))
	for _, path := range []string{"/", "/bath/south", "/bath/" + urlEscape(evil), "/bath/" + urlEscape(evil) + "/log", "/nothing/" + urlEscape(evil)} {
		_, _, body := get(t, h, path)
		if strings.Contains(body, "<script>alert") || strings.Contains(body, "<img src=x") {
			t.Errorf("GET %s holds markup that somebody typed", path)
		}
		if !strings.Contains(body, "&lt;script&gt;") {
			t.Errorf("GET %s does not show the text at all: the test proves nothing", path)
		}
	}
}

func urlEscape(s string) string {
	return strings.NewReplacer("/", "%2F", "<", "%3C", ">", "%3E", `"`, "%22", " ", "%20", "=", "%3D").Replace(s)
}

// Words in the page and words in the stream come under the same names, or an
// open page would keep old ones.
func TestEveryWordOnThePageIsInTheStream(t *testing.T) {
	h := newHandler(t, newFakeView(holding("north"), silent("south")), newFakeDoer())
	var state struct {
		Baths []struct {
			Bath  string
			Words map[string]string
		}
	}
	if err := json.Unmarshal([]byte(page(t, h, "/api/baths")), &state); err != nil {
		t.Fatal(err)
	}
	place := regexp.MustCompile(`data-word="([a-z_]+)">([^<]*)<`)
	for _, b := range state.Baths {
		found := place.FindAllStringSubmatch(page(t, h, "/bath/"+b.Bath), -1)
		if len(found) < 15 {
			t.Fatalf("only %d words on the page of %s", len(found), b.Bath)
		}
		for _, m := range found {
			if word, known := b.Words[m[1]]; !known || word != html.UnescapeString(m[2]) {
				t.Errorf("%s of %s reads %q on the page and %q in the stream", m[1], b.Bath, m[2], word)
			}
		}
	}
}

// Clock times in the page and in the stream are the same instants, and every
// figure of the stream has its place on the page.
func TestEveryFigureOfTheStreamHasItsPlace(t *testing.T) {
	h := newHandler(t, newFakeView(holding("north")), newFakeDoer())
	type figure struct{ Figure string }
	var b struct{ Ahead, Reckoned []figure }
	if err := json.Unmarshal([]byte(page(t, h, "/api/bath/north")), &b); err != nil {
		t.Fatal(err)
	}
	if len(b.Ahead) != 3 || len(b.Reckoned) != 10 {
		t.Fatalf("%d figures ahead and %d reckoned", len(b.Ahead), len(b.Reckoned))
	}
	body := page(t, h, "/bath/north")
	for _, f := range b.Ahead {
		if !strings.Contains(body, `data-ahead="`+f.Figure+`"`) {
			t.Errorf("no place for %s among what comes", f.Figure)
		}
	}
	for _, f := range b.Reckoned {
		if !strings.Contains(body, `data-reckoned="`+f.Figure+`"`) {
			t.Errorf("no place for %s among what is reckoned", f.Figure)
		}
	}
}

// The question stands on the page only while it is asked, and wants an amount.
func TestWaterThatWasSeenIsAskedFor(t *testing.T) {
	body := page(t, newHandler(t, newFakeView(holding("north")), newFakeDoer()), "/")
	if !regexp.MustCompile(`<section class="asked[^>]* data-asked hidden>`).MatchString(body) {
		t.Error("the page asks though nothing was seen")
	}
	body = page(t, newHandler(t, newFakeView(poured("north")), newFakeDoer()), "/")
	if !regexp.MustCompile(`<section class="asked[^>]* data-asked>`).MatchString(body) || !strings.Contains(body, "about 400 ml. Nobody entered it. How much was it?") {
		t.Error("the page does not ask about the water that was seen")
	}
	form := regexp.MustCompile(`(?s)<section class="asked.*?</section>`).FindString(body)
	if !strings.Contains(form, `data-event="top-up"`) || !strings.Contains(form, " required>") {
		t.Errorf("the question can be answered without an amount: %s", form)
	}
}

func TestPagesLoadNothingFromElsewhereAndRunNothingInline(t *testing.T) {
	h := newHandler(t, newFakeView(boilingDry("north")), newFakeDoer())
	_, header, body := get(t, h, "/")
	csp := header.Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'"} {
		if !strings.Contains(csp, want) {
			t.Errorf("policy %q lacks %q", csp, want)
		}
	}
	if strings.Contains(csp, "unsafe") {
		t.Errorf("policy %q allows inline code", csp)
	}
	for _, m := range regexp.MustCompile(`(?:src|href)="([^"]*)"`).FindAllStringSubmatch(body, -1) {
		if !strings.HasPrefix(m[1], "/") && !strings.HasPrefix(m[1], "#") && !strings.HasPrefix(m[1], "?") {
			t.Errorf("the page leads to %q", m[1])
		}
		if strings.HasPrefix(m[1], "/static/") {
			if status, _, _ := get(t, h, m[1]); status != http.StatusOK {
				t.Errorf("GET %s: status %d", m[1], status)
			}
		}
	}
	if regexp.MustCompile(`<script(?:[^>]*)>[^<]`).MatchString(body) || regexp.MustCompile(` (style|on[a-z]+)="`).MatchString(body) {
		t.Error("the page holds inline code or style")
	}
}

func TestABrokenRecordHidesNoAlarm(t *testing.T) {
	v := newFakeView(boilingDry("north"))
	v.broken = errBroken
	body := page(t, newHandler(t, v, newFakeDoer()), "/")
	for _, want := range []string{"there is no water under the probe", "The trace could not be read", "The record could not be read"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestWrongAddressesAreAnsweredPlainly(t *testing.T) {
	h := newHandler(t, newFakeView(base("north")), newFakeDoer())
	for path, want := range map[string]int{
		"/nothing": 404, "/bath/west": 404, "/bath/west/pan.svg": 404, "/bath/west/log": 404, "/bath/west/trace.svg": 404,
		"/bath/north?last=soon": 400, "/bath/north/trace.svg?last=-3h": 400, "/bath/north/trace.svg?width=9999999": 400,
		"/bath/north/trace.png?height=x": 400, "/static/../web.go": 404, "/metrics": 404,
	} {
		if status, _, _ := get(t, h, path); status != want && status != http.StatusTemporaryRedirect && status != http.StatusMovedPermanently {
			t.Errorf("GET %s: status %d, want %d", path, status, want)
		}
	}
}

func TestDrawingsAreServed(t *testing.T) {
	h := newHandler(t, newFakeView(holding("north")), newFakeDoer())
	for path, kind := range map[string]string{
		"/bath/north/pan.svg": "image/svg+xml", "/bath/north/trace.svg?last=30m&width=700&height=300": "image/svg+xml",
		"/bath/north/trace.png?width=500&height=300&dark": "image/png",
	} {
		status, header, body := get(t, h, path)
		if status != http.StatusOK || header.Get("Content-Type") != kind || len(body) < 500 {
			t.Errorf("GET %s: status %d, %s, %d bytes", path, status, header.Get("Content-Type"), len(body))
		}
	}
	_, _, body := get(t, h, "/bath/north/trace.png?width=500&height=300")
	if img, err := png.Decode(strings.NewReader(body)); err != nil || img.Bounds().Dx() != 500 {
		t.Errorf("trace.png: %v", err)
	}
}

func TestMetricsAreMountedWhereGiven(t *testing.T) {
	metrics := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "up 1\n") })
	h, err := New(Options{View: newFakeView(base("north")), Doer: newFakeDoer(), Logger: slog.New(slog.DiscardHandler), Metrics: metrics})
	if err != nil {
		t.Fatal(err)
	}
	if body := page(t, h, "/metrics"); body != "up 1\n" {
		t.Errorf("/metrics says %q", body)
	}
}

func TestNewNamesWhatIsMissing(t *testing.T) {
	_, err := New(Options{View: newFakeView(), Doer: newFakeDoer()})
	if err == nil || !strings.Contains(err.Error(), "Logger") {
		t.Errorf("error %v, want one that names the Logger", err)
	}
}

func TestStaticFilesMayBeKeptOnlyUnderTheirVersion(t *testing.T) {
	h := newHandler(t, newFakeView(base("north")), newFakeDoer())
	_, header, _ := get(t, h, "/static/style.css?v=1")
	if !strings.Contains(header.Get("Cache-Control"), "immutable") {
		t.Errorf("a named version may be kept for ever, and says %q", header.Get("Cache-Control"))
	}
	_, header, _ = get(t, h, "/")
	if header.Get("Cache-Control") != "no-store" {
		t.Errorf("a page may be kept: %q", header.Get("Cache-Control"))
	}
}

func TestADemonstrationSaysSo(t *testing.T) {
	v := newFakeView(base("north"))
	if strings.Contains(page(t, newHandler(t, v, newFakeDoer()), "/"), "No pan is watched") {
		t.Error("a real bath is called a demonstration")
	}
	v.site.Demo = 60
	if !strings.Contains(page(t, newHandler(t, v, newFakeDoer()), "/"), "60 times as fast") {
		t.Error("a demonstration does not say that it is one")
	}
}

func TestAShelvedAlarmCanBeBroughtBack(t *testing.T) {
	s := base("north")
	s.Alarms[rules.TopUpDue] = fold.Standing{State: alarm.Shelved, Priority: alarm.Medium, Until: s.At + 6*time.Minute}
	body := page(t, newHandler(t, newFakeView(s), newFakeDoer()), "/")
	if !bytes.Contains([]byte(body), []byte("shelved, comes back in 6 min")) || !strings.Contains(body, "No alarm stands.") {
		t.Error("the page does not tell of a shelved alarm")
	}
}

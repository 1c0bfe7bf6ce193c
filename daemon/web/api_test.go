package web

import (
	"encoding/json"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"
)

func TestUnknownNumbersAreNull(t *testing.T) {
	h := newHandler(t, newFakeView(silent("north")), newFakeDoer())
	var b map[string]any
	if err := json.Unmarshal([]byte(page(t, h, "/api/bath/north")), &b); err != nil {
		t.Fatal(err)
	}
	if v, there := b["oil_c"]; !there || v != nil {
		t.Errorf("oil_c is %v", v)
	}
	if water := b["estimate"].(map[string]any)["water_kg"].(map[string]any); water["p50"] != nil {
		t.Errorf("water_kg is %v", water)
	}
	if faults := b["faults"].(map[string]any); faults["oil"] != "absent" || faults["bath"] != "all-zero" {
		t.Errorf("faults are %v", faults)
	}
	first := b["alarms"].([]any)[0].(map[string]any)
	if first["alarm"] != "probe-silent" || first["state"] != "unacknowledged" || first["priority"] != "high" || first["since_s"] != 30.0 {
		t.Errorf("first alarm is %v", first)
	}
}

func TestAPIErrorsAreJSON(t *testing.T) {
	h := newHandler(t, newFakeView(base("north")), newFakeDoer())
	for path, want := range map[string]int{
		"/api/bath/west": 404, "/api/nothing": 404, "/api/bath/north/log?n=0": 400, "/api/bath/north/log?n=many": 400,
		"/api/bath/north/log?n=99999": 400, "/api/bath/west/log": 404,
	} {
		status, header, body := get(t, h, path)
		var e struct{ Error string }
		err := json.Unmarshal([]byte(body), &e)
		if status != want || err != nil || e.Error == "" || header.Get("Content-Type") != "application/json" {
			t.Errorf("GET %s: status %d, want %d; %v; %s", path, status, want, err, body)
		}
	}
}

func TestTheLogIsGivenAsAsked(t *testing.T) {
	v := newFakeView(base("north"))
	h := newHandler(t, v, newFakeDoer())
	var got struct{ Entries []struct{ Entry int64 } }
	if err := json.Unmarshal([]byte(page(t, h, "/api/bath/north/log?n=2")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Entries) != 2 || got.Entries[0].Entry != 412 {
		t.Errorf("entries %v", got.Entries)
	}
	v.broken = errBroken
	if status, _, _ := get(t, h, "/api/bath/north/log"); status != http.StatusInternalServerError {
		t.Errorf("a broken record answers %d", status)
	}
}

// The description must name every address and every field.
func TestTheDescriptionIsComplete(t *testing.T) {
	source, err := os.ReadFile("web.go")
	if err != nil {
		t.Fatal(err)
	}
	routes := regexp.MustCompile(`mux\.Handle(?:Func)?\("((?:GET|POST|PUT|DELETE) /[^"]*)"`).FindAllStringSubmatch(string(source), -1)
	if len(routes) < 25 {
		t.Fatalf("found only %d routes", len(routes))
	}
	text := string(apiText)
	for _, m := range routes {
		method, path, _ := strings.Cut(m[1], " ")
		path = strings.NewReplacer("{bath}", "NAME", "{token}", "TOKEN", "{$}", "").Replace(path)
		if path == "/static/" {
			continue
		}
		if !regexp.MustCompile("`(" + method + " )?" + regexp.QuoteMeta(path) + "[`?]").MatchString(text) {
			t.Errorf("API.md does not describe %s %s", method, path)
		}
	}
	h := newHandler(t, newFakeView(base("north")), newFakeDoer())
	var b map[string]json.RawMessage
	if err := json.Unmarshal([]byte(page(t, h, "/api/bath/north")), &b); err != nil {
		t.Fatal(err)
	}
	for field := range b {
		if !strings.Contains(text, "`"+field+"`") {
			t.Errorf("API.md does not name the field %s", field)
		}
	}
	if page(t, h, "/api") != text {
		t.Error("/api serves something else than API.md")
	}
}

package dashboards

import (
	"bytes"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"
)

// A page tells times by the clocks of the site, whatever zone the daemon runs in, and
// names the zone for the script that writes over them; the instant for programs is UTC.
func TestPagesTellTimesByTheClocksOfTheSite(t *testing.T) {
	denver, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Fatal(err)
	}
	pages, err := NewPages(denver)
	if err != nil {
		t.Fatal(err)
	}
	var log, whole bytes.Buffer
	if err := pages.RenderLog(&log, []LogLine{{Entry: 7, Wall: time.Date(2026, 7, 5, 5, 30, 0, 0, time.UTC), Text: "light"}}); err != nil {
		t.Fatal(err)
	}
	if want := `<time datetime="2026-07-05T05:30:00Z" title="2026-07-04">23:30</time>`; !strings.Contains(log.String(), want) {
		t.Errorf("want %s in\n%s", want, log.String())
	}
	if err := pages.RenderAlarms(&whole, Page{}); err != nil || !strings.Contains(whole.String(), `data-zone="America/Denver"`) {
		t.Errorf("the page does not name the zone: %v", err)
	}
	nowhere, err := NewPages(nil)
	if err != nil {
		t.Fatal(err)
	}
	whole.Reset()
	if err := nowhere.RenderAlarms(&whole, Page{}); err != nil || strings.Contains(whole.String(), "data-zone") {
		t.Errorf("a zone is named though the site names none: %v", err)
	}
}

package dashboards

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"maps"
	"net/url"
	"slices"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// Page is everything one page shows. A page with one bath shows it whole; one
// with several shows a card for each.
type Page struct {
	Site    string
	Version string
	// Demo is how many times faster than the clock an invented bath runs; 0
	// means that a real bath is watched.
	Demo    float64
	Baths   []BathView
	Others  []string // names of all baths, for the way from one to the next
	Windows []Window
	Phones  *Phones      // nil: nobody is called
	Plans   bool         // a batch can be planned here
	Places  []Place      // the pages beside those of the baths
	Cards   []alarm.Card // of the page of all alarms
	Assets  string       // changes with the style sheet and the scripts
}

// BathView is one bath of a page.
type BathView struct {
	Name     string
	Wall     time.Time // of the newest reading
	Words    Words
	Ahead    []Figure
	Reckoned []Figure
	Alarms   []AlarmWords
	Now      []Deed
	More     []Deed
	Asked    Deed // the top-up that was seen, if Words.Asked asks for it
	Recipes  []string
	HoldPart float64 // of the hold, 0 to 100
	Over     bool    // a new batch may be prepared
	Age      float64 // of the newest reading, s
	Pan      template.HTML
	Trace    template.HTML
	Log      []LogLine
	Cutout   *Cutout // nil: it has none
	Guide    *Guide  // nil: nobody leads
}

// LogLine is one entry of the record in words.
type LogLine struct {
	Entry    int64
	Wall     time.Time
	Text     string
	Voidable bool // may be taken back by a correcting entry
	Voided   bool // has been taken back
}

// Stamp is the wall time for programs (RFC 3339).
func (l LogLine) Stamp() string { return l.Wall.UTC().Format(time.RFC3339) }

// Window is a length of trace that the page offers.
type Window struct {
	Query string // as in the address
	Label string
	Shown bool
}

// Windows returns the lengths of trace on offer, the one that is shown marked.
func Windows(shown time.Duration) []Window {
	var w []Window
	for _, o := range [...]struct {
		last         time.Duration
		query, label string
	}{
		{30 * time.Minute, "30m", "30 min"}, {3 * time.Hour, "3h", "3 h"}, {12 * time.Hour, "12h", "12 h"},
	} {
		w = append(w, Window{o.query, o.label, o.last == shown})
	}
	return w
}

// ViewOf gathers what a page shows of s. The drawings, the log and the cut-out are
// left for the caller, who knows where they come from.
func ViewOf(s fold.Snapshot, recipes []string) (BathView, error) {
	var pan bytes.Buffer
	if err := DrawPan(&pan, s, PanID(s.Bath), false); err != nil {
		return BathView{}, fmt.Errorf("draw pan of bath %q: %w", s.Bath, err)
	}
	v := BathView{
		Name: s.Bath, Wall: s.Wall, Words: Describe(s), Alarms: Alarms(s), Recipes: recipes,
		Ahead: Ahead(s), Reckoned: Reckoned(s),
		HoldPart: HoldPart(s), Over: s.Phase.Over(),
		Pan: template.HTML(pan.String()), // made by DrawPan, which escapes every text
	}
	deeds := Deeds(s.Next, s.Units)
	v.Now, v.More = SplitDeeds(deeds)
	for _, d := range deeds {
		if d.Event == rules.TopUp.String() {
			d.Need, d.Label = NeedsAmount, "How much water"
			v.Asked = d
		}
	}
	return v, nil
}

// Stamp is the wall time of the newest reading for programs (RFC 3339), empty
// when there is none.
func (v BathView) Stamp() string {
	if v.Wall.IsZero() {
		return ""
	}
	return v.Wall.UTC().Format(time.RFC3339)
}

// Reckons reports whether any figure is reckoned.
func (v BathView) Reckons() bool {
	return slices.ContainsFunc(v.Reckoned, func(f Figure) bool { return f.Likely != nil })
}

// HoldPart is how much of the hold is done, 0 to 100.
func HoldPart(s fold.Snapshot) float64 {
	if s.HoldAsked <= 0 {
		return 0
	}
	return min(100, max(0, float64(100*s.Hold.Seconds()/s.HoldAsked.Seconds())))
}

// PanID makes a name into a valid part of an XML id.
func PanID(bath string) string {
	return "pan-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '_'
	}, bath)
}

// Pages holds the parsed templates.
type Pages struct{ templates *template.Template }

// NewPages parses the templates that are built into the program. zone is that of the
// site's clocks, by which pages tell days and times; nil: they go by the clock of
// whoever reads, and of this machine where no script runs.
func NewPages(zone *time.Location) (*Pages, error) {
	words := clockWords(zone)
	maps.Copy(words, template.FuncMap{"stamp": Stamp, "after": after, "plain": plainly, "segment": url.PathEscape})
	t, err := template.New("").Funcs(words).ParseFS(files, "page/*.html")
	if err != nil {
		return nil, fmt.Errorf("parse page templates: %w", err)
	}
	return &Pages{t}, nil
}

// Render writes p.
func (t *Pages) Render(w io.Writer, p Page) error { return t.execute(w, "page", p) }

// RenderLog writes the list of entries alone, for a page that is open already.
func (t *Pages) RenderLog(w io.Writer, lines []LogLine) error { return t.execute(w, "log", lines) }

// RenderAlarms writes the page of what each alarm means.
func (t *Pages) RenderAlarms(w io.Writer, p Page) error { return t.execute(w, "alarms-page", p) }

// RenderPhones writes the part of a page that tells of calls to people; nothing
// if p is nil.
func (t *Pages) RenderPhones(w io.Writer, p *Phones) error { return t.execute(w, "phones", p) }

// RenderLink writes the page behind a link.
func (t *Pages) RenderLink(w io.Writer, p LinkPage) error { return t.execute(w, "link", p) }

// RenderTrouble writes a page that says what went wrong.
func (t *Pages) RenderTrouble(w io.Writer, p Trouble) error { return t.execute(w, "trouble", p) }

// Trouble is a page that could not be shown.
type Trouble struct {
	Site, Version, Title, Text, Assets string
}

func (t *Pages) execute(w io.Writer, name string, data any) error {
	var page bytes.Buffer
	if err := t.templates.ExecuteTemplate(&page, name, data); err != nil {
		return fmt.Errorf("render %s: %w", name, err)
	}
	if _, err := keepDegrees.WriteString(w, page.String()); err != nil {
		return fmt.Errorf("render %s: %w", name, err)
	}
	return nil
}

// keepDegrees keeps a degree on the line of its number (SI brochure, 5.4.3: a space
// stands between them, and it is part of the quantity).
var keepDegrees = strings.NewReplacer(" °C", "\u00a0°C", " °F", "\u00a0°F")

package web

import (
	"bytes"
	"net/http"

	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
)

// alarms lists what each alarm means, for reading before the heat is on.
func (s *server) alarms(w http.ResponseWriter, r *http.Request) {
	page := s.newPage(s.view.Snapshots())
	page.Cards = s.alarmCards()
	s.render(w, r, func(out *bytes.Buffer) error { return s.pages.RenderAlarms(out, page) })
}

func (s *server) alarmCards() []alarm.Card {
	site := s.view.Site()
	if site.Limits == nil {
		limits := rules.DefaultLimits()
		site.Limits = &limits
	}
	return dashboards.AlarmCards(site.Limits, site.Units)
}

type cardJSON struct {
	Alarm     string   `json:"alarm"`
	Priority  string   `json:"priority"`
	Class     string   `json:"class"`
	Type      string   `json:"type"`
	SetPoint  string   `json:"set_point"`
	Means     string   `json:"means"`
	Why       string   `json:"why"`
	Causes    []string `json:"causes"`
	Do        []string `json:"do"`
	Within    string   `json:"within"`
	WithinWhy string   `json:"within_why"`
	OnDelayS  number   `json:"on_delay_s"`
	OffDelayS number   `json:"off_delay_s"`
	Latched   bool     `json:"latched"`
	Rationale string   `json:"rationale"`
}

func (s *server) apiAlarms(w http.ResponseWriter, _ *http.Request) {
	var out []cardJSON
	for _, c := range s.alarmCards() {
		r := c.Rationale
		out = append(out, cardJSON{
			Alarm: c.Alarm.String(), Priority: r.Priority.String(), Class: c.Class.String(), Type: c.Type, SetPoint: c.SetPoint,
			Means: c.Means, Why: c.Why, Causes: c.Causes, Do: c.Do, Within: c.Within, WithinWhy: c.WithinWhy,
			OnDelayS: number(r.OnDelay.Seconds()), OffDelayS: number(r.OffDelay.Seconds()), Latched: r.Latched, Rationale: r.Why,
		})
	}
	s.sendJSON(w, map[string]any{"alarms": out})
}

package dashboards

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"bainward/rules/batch/guide"
)

// Guide is the way through a batch as a page shows it: one step in the open, the
// others put away in groups.
type Guide struct {
	Bath        string
	Batch       string
	Key         string // changes when another step is shown
	Place       int    // of the step that is shown, from 1
	Of          int    // steps
	Macerations int
	Shown       GuideStep
	Open        []GuideStep // passed over or put off; they can still be entered
	Past        []GuideStep
	Ahead       []GuideStep
	Strength    []string
}

// GuideStep is one step.
type GuideStep struct {
	guide.Step
	Of   int // macerations of the batch
	Form *GuideForm
	Live []LiveWord
}

// GuideForm is a form with where it goes and what goes with it.
type GuideForm struct {
	guide.Form
	Address string
	Fixed   string // JSON
}

// LiveWord is a word of the bath that stands beside a step and moves with it.
type LiveWord struct {
	Name  string // as in Words
	Label string
	Text  string
}

// GuideOf puts g in order for a page. past names the steps that this person went
// past; address says where forms go.
func GuideOf(g guide.Guide, w Words, past []string, address func(guide.To) string) (Guide, error) {
	shown := g.Shown(past)
	v := Guide{Bath: g.Bath, Batch: g.Batch, Key: g.Batch + " " + shown.ID(), Of: len(g.Steps), Macerations: g.Macerations(), Strength: g.Strength}
	for i, s := range g.Steps {
		step, err := stepOf(s, v.Macerations, w, address)
		if err != nil {
			return v, err
		}
		switch {
		case s.ID() == shown.ID():
			v.Shown, v.Place = step, i+1
		case s.Stands == guide.Done:
			v.Past = append(v.Past, step)
		case s.Form != nil && (s.Stands == guide.Missed || slices.Contains(past, s.ID())):
			v.Open = append(v.Open, step)
		case s.Stands == guide.Ahead:
			v.Ahead = append(v.Ahead, step)
		}
	}
	return v, nil
}

func stepOf(s guide.Step, of int, w Words, address func(guide.To) string) (GuideStep, error) {
	step := GuideStep{Step: s, Of: of}
	for _, name := range s.Live {
		step.Live = append(step.Live, w.live(name))
	}
	if s.Form == nil {
		return step, nil
	}
	fixed := s.Form.Fixed
	if fixed == nil {
		fixed = map[string]any{}
	}
	text, err := json.Marshal(fixed)
	if err != nil {
		return step, fmt.Errorf("write the form of step %s: %w", s.ID(), err)
	}
	step.Form = &GuideForm{Form: *s.Form, Address: address(s.Form.To), Fixed: string(text)}
	return step, nil
}

// live returns the word of that name with what it is called beside a step.
func (w Words) live(name string) LiveWord {
	switch name {
	case "oil":
		return LiveWord{name, "Oil", w.Oil}
	case "bath":
		return LiveWord{name, "Bath", w.BathTemp}
	case "room":
		return LiveWord{name, "Room", w.Room}
	case "hold":
		return LiveWord{name, "Hold", w.Hold}
	case "hold_note":
		return LiveWord{name, "To go", w.HoldNote}
	case "to_bare":
		return LiveWord{name, "Until the base is bare", w.ToBare}
	}
	return LiveWord{Name: name}
}

// Maceration says to which maceration a step belongs, if there are several.
func (s GuideStep) Maceration() string {
	if s.Pass == 0 || s.Of < 2 {
		return ""
	}
	return fmt.Sprintf("maceration %d of %d", s.Pass, s.Of)
}

// Stamp is when the step was done, for programs; empty if nobody knows.
func (s GuideStep) Stamp() string {
	if s.When.IsZero() {
		return ""
	}
	return Stamp(s.When)
}

// Unit is how a unit is written for people.
func (f GuideForm) Unit(u string) string {
	if u == "floz" {
		return "fl oz"
	}
	return u
}

// RenderGuide writes the guide alone, for a page that is open already; nothing if
// g is nil.
func (t *Pages) RenderGuide(w io.Writer, g *Guide) error { return t.execute(w, "guide-part", g) }

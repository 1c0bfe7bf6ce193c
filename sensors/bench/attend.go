package bench

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Habits is how a maker looks after a bath.
type Habits struct {
	TopUpEvery time.Duration // after the boil; 0: never
	TopUps     int           // so many, then forgotten; 0: as long as it takes
	Unentered  bool          // top-ups are poured but not entered
	// SaysTo rounds what is entered to so many kg, as people do; 0: to 10 g.
	SaysTo float64
	// FloorBelow is how far below the boiling point the oil counts as hot, in K
	// (0: 15), and Hold for how long it is kept so (0: two hours).
	FloorBelow float64
	Hold       time.Duration
	Longest    time.Duration // script length at most (0: five hours)
	First      []string      // actions done first, such as "lid half"
}

// Attend returns the script of a maker with these habits on this rig: fill and
// charge, light, turn down at the boil, top up to the first level, strain after
// the hold, hob off. It goes by the truth of a trial run, as a maker goes by
// eyes and ears; Run on the same rig then gives the same bath.
func Attend(r Rig, h Habits) (Script, error) {
	b, err := newBath(r)
	if err != nil {
		return Script{}, fmt.Errorf("attend bath: %w", err)
	}
	m := maker{bath: b, habits: h.complete()}
	for _, text := range h.First {
		if _, err := parseAction(text); err != nil {
			return Script{}, fmt.Errorf("attend bath, first %q: %w", text, err)
		}
		m.write(text)
	}
	m.begin(r)
	for b.pan.at < m.habits.Longest && !m.done() {
		m.look()
		b.advance(lookEvery)
	}
	m.write("end")
	return ParseScript("attended", strings.NewReader(m.text.String()))
}

// lookEvery is how often the maker looks.
const lookEvery = 30 * time.Second

func (h Habits) complete() Habits {
	if h.SaysTo <= 0 {
		h.SaysTo = 0.01
	}
	if h.FloorBelow <= 0 {
		h.FloorBelow = 15
	}
	if h.Hold <= 0 {
		h.Hold = 2 * time.Hour
	}
	if h.Longest <= 0 {
		h.Longest = 5 * time.Hour
	}
	return h
}

// maker writes down what is done while doing it.
type maker struct {
	bath     *bath
	habits   Habits
	text     strings.Builder
	full     float64       // kg that were in the pan at the first fill
	turned   bool          // down, after the boil
	last     time.Duration // of the turn-down or the last top-up
	topUps   int
	held     time.Duration
	strained time.Duration
}

// write adds a line and does it.
func (m *maker) write(text string) {
	fmt.Fprintf(&m.text, "at %s %s\n", m.bath.pan.at, text)
	if text == "end" {
		return
	}
	a, err := parseAction(text)
	if err != nil {
		panic("bench: a maker wrote a line that cannot be read: " + err.Error())
	}
	a.do(m.bath)
}

func (m *maker) begin(r Rig) {
	m.full = math.Round(r.Pan.FillKg*100) / 100
	m.write(fmt.Sprintf("fill %.2f kg; charge", m.full))
	m.bath.advance(time.Minute)
	m.write("light")
}

// look is one glance at the bath.
func (m *maker) look() {
	p := m.bath.pan
	if m.strained > 0 {
		return
	}
	if !m.turned {
		if m.turned = p.temp[water] > p.boilC-0.7; m.turned {
			m.write("turn-down")
			m.last = p.at
		}
	}
	if p.temp[oil] >= p.boilC-m.habits.FloorBelow {
		m.held += lookEvery
	}
	switch {
	case m.held >= m.habits.Hold+time.Minute:
		m.strained = p.at
		m.write("strain")
		m.write("hob off")
	case m.topUpDue():
		m.topUp()
	}
}

func (m *maker) topUpDue() bool {
	h := m.habits
	return m.turned && h.TopUpEvery > 0 && (h.TopUps == 0 || m.topUps < h.TopUps) &&
		m.bath.pan.at-m.last >= h.TopUpEvery
}

// topUp brings the water back to what it was.
func (m *maker) topUp() {
	m.last = m.bath.pan.at
	kg := math.Round((m.full-m.bath.pan.water)*100) / 100
	if kg < 0.03 {
		return
	}
	m.topUps++
	says := max(0.01, math.Round(kg/m.habits.SaysTo)*m.habits.SaysTo)
	switch {
	case m.habits.Unentered:
		m.write(fmt.Sprintf("pour %.2f kg", kg))
	case math.Abs(says-kg) < 1e-6:
		m.write(fmt.Sprintf("top-up %.2f kg", kg))
	default:
		m.write(fmt.Sprintf("pour %.2f kg", kg))
		m.write(fmt.Sprintf("say top-up %.2f kg", says))
	}
}

// done: a while after straining, or long enough after the pan ran dry to see
// what a dry pan does.
func (m *maker) done() bool {
	const after = 10 * time.Minute
	p := m.bath.pan
	dry := p.spells.drySince
	return m.strained > 0 && p.at-m.strained >= after || dry != Never && p.at-dry >= after
}

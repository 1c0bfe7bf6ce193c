package verify

import (
	"encoding/json"
	"fmt"
)

// storedSpan is what an entry of the kind storage says, as READING.md tells it.
type storedSpan struct {
	Place    string   `json:"place"`
	From     int64    `json:"from_ms"`
	To       int64    `json:"to_ms"`
	Count    int64    `json:"count"`
	Measured int64    `json:"measured_ms"`
	Min      *float64 `json:"min_c"`
	Max      *float64 `json:"max_c"`
	Kinetic  *float64 `json:"kinetic_c"`
}

// stored holds what is said of a place against itself and against what was said of
// it before: each time of a place is told once, where it ended, and no mean lies
// outside what it is the mean of.
func (a *auditor) stored(n *leaf) {
	e := &n.row.entry
	var s storedSpan
	if err := json.Unmarshal(e.body, &s); err != nil {
		return // told already: the line says nothing
	}
	odd := func(expected, found string, args ...any) {
		a.found.add(n.at(StoredTime, expected, fmt.Sprintf(found, args...)))
	}
	switch lasted := s.To - s.From; {
	case s.To != e.atMS:
		odd(fmt.Sprintf("a time that ends where its entry stands, at %v", millis(e.atMS)), "one that ends at %v", millis(s.To))
	case lasted <= 0:
		odd("a time that ends after it began", "one from %v to %v", millis(s.From), millis(s.To))
	case s.Measured < 0 || s.Measured > lasted:
		odd(fmt.Sprintf("readings for %v at most", millis(lasted)), "readings for %v", millis(s.Measured))
	case s.Count == 0 && (s.Measured != 0 || s.Min != nil || s.Max != nil || s.Kinetic != nil):
		odd("nothing but faults, for there is no reading", "temperatures")
	case s.Count != 0 && (s.Min == nil || s.Max == nil || s.Kinetic == nil):
		odd("the coldest, the warmest and the mean of its readings", "not all of them")
	case s.Count != 0 && (*s.Kinetic < *s.Min || *s.Kinetic > *s.Max):
		odd(fmt.Sprintf("a mean kinetic temperature between %v and %v °C", *s.Min, *s.Max), "%v °C", *s.Kinetic)
	}
	if before := a.storedTo[s.Place]; s.From < before {
		odd(fmt.Sprintf("of the %s a time from %v on, for those before it are told", s.Place, millis(before)), "one from %v on", millis(s.From))
	}
	a.storedTo[s.Place] = max(a.storedTo[s.Place], s.To)
}

package verify

import (
	"sync"
	"time"
)

// Finding is one thing that does not fit.
type Finding struct {
	Kind     Kind   `json:"kind"`
	Entry    int64  `json:"entry,omitempty"` // its number in the log; 0: it is not about one entry
	Leaf     *int64 `json:"leaf,omitempty"`  // its number in the tree
	Bath     string `json:"bath,omitempty"`
	Expected string `json:"expected,omitempty"`
	Found    string `json:"found,omitempty"`
	Means    string `json:"means"` // one plain sentence
}

// Note is something to know that is no fault.
type Note struct {
	About string `json:"about"`
	Text  string `json:"text"`
}

// What notes are about.
const (
	AboutOpenReadings = "open readings"
	AboutTail         = "after the last checkpoint"
	AboutKey          = "key"
	AboutNothingHeld  = "nothing held elsewhere"
	AboutHeld         = "held elsewhere"
	AboutCosignature  = "cosignature"
	AboutUnknownKind  = "unknown kind"
	AboutThinned      = "thinned out"
	AboutNotFolded    = "not folded"
	AboutVersions     = "other versions"
)

// Report is what was found and how much was looked at.
type Report struct {
	Path     string       `json:"path"`
	Clean    bool         `json:"clean"`
	Findings []Finding    `json:"findings"`
	More     map[Kind]int `json:"more,omitempty"` // findings of a kind beyond those listed
	Notes    []Note       `json:"notes"`
	Totals   Totals       `json:"totals"`
}

// Totals says how much was looked at.
type Totals struct {
	Format       int       `json:"format"`
	Entries      int64     `json:"entries"`  // of all kinds, readings included
	Readings     int64     `json:"readings"` // sealed and open
	OpenReadings int64     `json:"open_readings"`
	Thinned      int64     `json:"thinned"` // readings that are gone, their hashes left; beyond Readings
	Leaves       int64     `json:"leaves"`
	Batches      int64     `json:"batches"`
	Checkpoints  int64     `json:"checkpoints"`
	Cosignatures int64     `json:"cosignatures"`
	Followed     int64     `json:"followed"` // findings, alarms, phases and verdicts that the fold found again
	Keys         []string  `json:"keys"`     // in the order in which they came into force
	Root         string    `json:"root"`     // of the tree of all leaves, base64
	From         time.Time `json:"from"`
	To           time.Time `json:"to"`
	Seconds      float64   `json:"seconds"`
}

// PerSecond is how many readings were verified in a second.
func (t Totals) PerSecond() float64 {
	if t.Seconds == 0 {
		return 0
	}
	return float64(t.Readings) / t.Seconds
}

// saw widens the span of time to a time of day.
func (t *Totals) saw(wallMS int64) {
	at := time.UnixMilli(wallMS).UTC()
	if t.From.IsZero() || at.Before(t.From) {
		t.From = at
	}
	if at.After(t.To) {
		t.To = at
	}
}

// listed is how many findings of a kind a report lists: one fault early in a
// record can show at every leaf after it.
const listed = 20

// findings collects what the parts of the verifier find.
type findings struct {
	mu   sync.Mutex
	list []Finding
	of   map[Kind]int
}

func (f *findings) add(n Finding) {
	if n.Means == "" {
		n.Means = n.Kind.means()
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.of == nil {
		f.of = map[Kind]int{}
	}
	f.of[n.Kind]++
	if f.of[n.Kind] <= listed {
		f.list = append(f.list, n)
	}
}

// more returns how many of each kind were not listed.
func (f *findings) more() map[Kind]int {
	more := map[Kind]int{}
	for k, n := range f.of {
		if n > listed {
			more[k] = n - listed
		}
	}
	return more
}

// number points at n, for a Finding's Leaf.
func number(n int64) *int64 { return &n }

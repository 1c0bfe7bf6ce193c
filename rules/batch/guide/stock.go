package guide

import (
	"slices"
	"strings"

	"bainward/rules/batch/ledger"
)

// Stock remembers what earlier batches were made from and filled into, so that it
// can be offered again. The zero Stock remembers nothing.
type Stock struct{ entries []ledger.Entry }

// Take adds an entry of the books, in their order; most do not concern it.
func (s *Stock) Take(e ledger.Entry) {
	switch e.Fact.(type) {
	case ledger.Material, ledger.Bottles:
		s.entries = append(s.entries, e)
	}
}

// Void takes an entry back.
func (s *Stock) Void(seq int64) {
	s.entries = slices.DeleteFunc(s.entries, func(e ledger.Entry) bool { return e.Seq == seq })
}

// Clone returns a stock that later entries do not change.
func (s *Stock) Clone() *Stock { return &Stock{slices.Clone(s.entries)} }

// last returns the material of that kind and name that was weighed in last.
func (s *Stock) last(what ledger.What, name string) (m ledger.Material, ok bool) {
	if s == nil {
		return m, false
	}
	for _, e := range slices.Backward(s.entries) {
		if m, is := e.Fact.(ledger.Material); is && m.What == what && sameName(m.Name, name) {
			return m, true
		}
	}
	return m, false
}

// bottles returns the bottles that were filled last.
func (s *Stock) bottles() (b ledger.Bottles, ok bool) {
	if s == nil {
		return b, false
	}
	for _, e := range slices.Backward(s.entries) {
		if b, is := e.Fact.(ledger.Bottles); is {
			return b, true
		}
	}
	return b, false
}

func sameName(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

package ledger

import "slices"

// Materials lists what went into all batches, the newest first: what may be
// offered to who enters the next.
func (l *Ledger) Materials() []Material {
	var all []Material
	for _, e := range l.entries {
		if m, ok := e.Fact.(Material); ok {
			all = append(all, m)
		}
	}
	slices.Reverse(all)
	return all
}

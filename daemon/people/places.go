package people

import "time"

// places remembers from where people came in of late. Failures at their name from
// there are counted apart from those of all other places: else anybody who reaches the
// door could keep a colleague out by guessing at their name (OWASP ASVS, "anti-automation
// must not let an attacker lock accounts", from memory). It is lost at a restart, and
// then every place is like any other until somebody came in there.
type places struct{ last map[string]time.Time }

func newPlaces() *places { return &places{last: map[string]time.Time{}} }

func placeKey(name, address string) string { return nameKey(name) + " at " + address }

// came notes that name came in from address.
func (p *places) came(name, address string, now time.Time) {
	if len(p.last) >= watched {
		for key, at := range p.last {
			if now.Sub(at) >= Absolute {
				delete(p.last, key)
			}
		}
	}
	if len(p.last) < watched {
		p.last[placeKey(name, address)] = now
	}
}

// key is what failures of name from address are counted under.
func (p *places) key(name, address string, now time.Time) string {
	own := placeKey(name, address)
	if at, known := p.last[own]; known && now.Sub(at) < Absolute {
		return own
	}
	return nameKey(name)
}

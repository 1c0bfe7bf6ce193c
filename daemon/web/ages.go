package web

import (
	"sync"
	"time"

	"bainward/rules/fold"
)

// ages remembers when each bath was first seen at its newest offset. A daemon
// that answers while its loop hangs would otherwise look alive: readers are told
// how old the newest reading is, by this machine's monotonic clock.
type ages struct {
	mu   sync.Mutex
	seen map[string]sighting
}

type sighting struct {
	at   time.Duration // offset of the newest frame
	when time.Time     // when it was first seen here
}

func newAges() *ages { return &ages{seen: make(map[string]sighting)} }

// of returns how long the bath of s has stood at the same offset.
func (a *ages) of(s fold.Snapshot, now time.Time) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	last, known := a.seen[s.Bath]
	if !known || last.at != s.At {
		a.seen[s.Bath] = sighting{s.At, now}
		return 0
	}
	return max(0, now.Sub(last.when))
}

package alive

import (
	"fmt"
	"time"

	"bainward/rules/alarm"
)

// PeerKind is what people are told of a sibling.
type PeerKind uint8

// The kinds. The zero PeerKind is that all is well.
const (
	Watches PeerKind = iota
	WasStopped
	NeverHeard
	Lost
)

// PeerNews is one thing to tell people: that a sibling does not watch any more,
// or, with Kind Watches, that this is over.
type PeerNews struct {
	Site     string
	Kind     PeerKind
	Priority alarm.Priority
	Text     string
}

// tells reports whether k is news to people who believe was: only that the
// sibling watches, that it does not, or that it is worse than an orderly stop.
func (k PeerKind) tells(was PeerKind) bool {
	return k != was && (k == Watches || was == Watches || was == WasStopped)
}

// news puts k into words: at most 180 characters for a site's name of 40.
func (k PeerKind) news(site string) *PeerNews {
	n := &PeerNews{Site: site, Kind: k, Priority: alarm.High}
	daemon := "the daemon at " + site
	switch k {
	case Watches:
		n.Priority = alarm.Low
		n.Text = daemon + " watches again"
	case WasStopped:
		n.Priority = alarm.Low
		n.Text = daemon + " does not watch any more: it was stopped in order; never leave a lit bath there alone"
	case NeverHeard:
		n.Text = fmt.Sprintf("%s does not watch: it was not heard for %d min; look whether a bath there is lit", daemon, Patience/time.Minute)
	case Lost:
		n.Text = daemon + " does not watch any more: it ended, or lost power or network; look whether a bath there is lit"
	}
	return n
}

func (k PeerKind) String() string {
	return [...]string{"watches", "was-stopped", "never-heard", "lost"}[k&3]
}

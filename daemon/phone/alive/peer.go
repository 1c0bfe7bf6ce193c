package alive

import "time"

// The words of a sibling's status topic. Others are ignored, and so is an empty
// one, which only removes what the broker had kept.
const (
	Online  = "online"
	Offline = "offline" // its last will, or its own last word
	Stopped = "stopped" // it was stopped in order, where it says so
)

const (
	// Grace is how long a sibling may be away before people are told, and how long
	// it must be back before it counts as back: a restart takes some seconds, and
	// one that restarts again and again is away. It comes on top of the 23 s that
	// the broker takes to notice a loss (1.5 times the keep-alive of 15 s).
	Grace = 30 * time.Second
	// Patience is how long a sibling that should be there may be unheard after we
	// began: after a power cut in the whole house it may start later than we do.
	Patience = 5 * time.Minute
)

// PeerOptions name a sibling.
type PeerOptions struct {
	Site     string // its site's name, for people
	Expected bool   // it is named in our site file, so it should be there
}

// PeerInput is what was heard at one instant, or that time went on.
type PeerInput struct {
	At     time.Duration // on a clock that never goes back, wherever it begins
	Linked bool          // we are connected to the broker, so that we would hear
	Word   string        // the payload of its status; empty: nothing came
}

// Peer is what we know of a sibling. The zero Peer is one of which nothing was
// heard. It can be compared.
type Peer struct {
	word     string        // the last of the three words; empty: none yet
	away     bool          // not watching, or not long enough back
	awayAt   time.Duration // since when
	backAt   time.Duration // if word is Online: since when
	listened time.Duration // so long could we have heard it
	begun    bool          // there was an input before
	at       time.Duration // of that
	told     PeerKind      // what people believe
}

// Step takes one input, and returns news if there are some. Call it with every
// status and once a second or so.
func (p Peer) Step(o PeerOptions, in PeerInput) (Peer, *PeerNews) {
	if in.Linked && p.word == "" && p.begun {
		p.listened += max(0, in.At-p.at)
	}
	p.begun, p.at = true, in.At
	switch in.Word {
	case Online:
		p = p.online(in.At)
	case Offline, Stopped:
		p = p.offline(in)
	}
	return p.judge(o, in.At)
}

func (p Peer) online(at time.Duration) Peer {
	if p.word != Online {
		p.word, p.backAt = Online, at
	}
	return p
}

func (p Peer) offline(in PeerInput) Peer {
	if !p.away {
		p.away, p.awayAt = true, in.At
	}
	p.word = in.Word
	return p
}

func (p Peer) judge(o PeerOptions, at time.Duration) (Peer, *PeerNews) {
	kind := p.told
	switch {
	case p.word == "" && o.Expected && p.listened >= Patience:
		kind = NeverHeard
	case p.word == Online && (p.away || p.told != Watches):
		if at-p.backAt >= Grace {
			p.away, kind = false, Watches
		}
	case p.away && at-p.awayAt >= Grace:
		kind = Lost
		if p.word == Stopped {
			kind = WasStopped
		}
	}
	if !kind.tells(p.told) {
		return p, nil
	}
	p.told = kind
	return p, kind.news(o.Site)
}

package app

import (
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"bainward/daemon/phone/alive"
	"bainward/daemon/phone/calls"
)

// siblings are the daemons of other sites that this one misses when they die.
type siblings struct {
	mu    sync.Mutex // over heard, which the broker's reader fills
	heard []word
	peers []peer // the loop's
}

type word struct{ site, status string }

type peer struct {
	alive.PeerOptions
	alive.Peer
}

// maxHeard bounds what a broker that stammers can pile up between two polls.
const maxHeard = 64

// Sibling tells what the broker says of another site. It never waits.
func (a *App) Sibling(site, status string) {
	s := &a.siblings
	s.mu.Lock()
	defer s.mu.Unlock()
	s.heard = append(s.heard, word{site, status})
	if extra := len(s.heard) - maxHeard; extra > 0 {
		s.heard = slices.Delete(s.heard, 0, extra)
	}
}

func (a *App) gatherSiblings() {
	for _, site := range a.opt.Site.Siblings {
		a.siblings.peers = append(a.siblings.peers, peer{PeerOptions: alive.PeerOptions{Site: site, Expected: true}})
	}
}

// sentence is a clause with a capital and a full stop.
func sentence(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + strings.TrimSuffix(s[size:], ".") + "."
}

// linked is a Publisher that can say whether it reaches the broker.
type linked interface{ Connected() bool }

// missSiblings drafts what the silence of a sibling means for the people here.
func (a *App) missSiblings(d *draft) {
	s := &a.siblings
	if len(s.peers) == 0 {
		return
	}
	heard := s.take()
	up := false
	if l, ok := a.opt.Publisher.(linked); ok {
		up = l.Connected()
	}
	after := slices.Clone(s.peers)
	for i := range after {
		p := &after[i]
		for _, w := range heard {
			if w.site == p.Site {
				p.step(d, alive.PeerInput{At: d.at, Linked: up, Word: w.status})
			}
		}
		p.step(d, alive.PeerInput{At: d.at, Linked: up})
	}
	d.then(func() {
		s.peers = after
		s.forget(len(heard))
	})
}

func (s *siblings) take() []word {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.heard)
}

// forget drops the first n words, which are recorded by now.
func (s *siblings) forget(n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.heard = slices.Delete(s.heard, 0, min(n, len(s.heard)))
}

func (p *peer) step(d *draft, in alive.PeerInput) {
	next, news := p.Peer.Step(p.PeerOptions, in)
	p.Peer = next
	if news == nil {
		return
	}
	d.happened = append(d.happened, calls.Matter{
		Subject:  "sibling-" + strings.Join(strings.Fields(strings.ToLower(news.Site)), "-"),
		Priority: news.Priority, Fact: news.Site + " is not watched",
		Do: sentence(news.Text), Over: news.Kind == alive.Watches,
	})
}

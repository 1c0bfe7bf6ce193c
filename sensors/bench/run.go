package bench

import (
	"fmt"
	"strings"
	"time"

	"bainward/sensors"
)

// Run plays a script on a rig and gives a frame at offset zero and then every
// so often until the script ends. With each come the operator events that were
// entered since the frame before (";" between several, empty if none) and the
// truth. The same rig and script give the same frames.
func Run(r Rig, s Script, every time.Duration, yield func(f sensors.Frame, events string, t Truth)) error {
	if every <= 0 {
		return fmt.Errorf("run bath script: a frame every %s makes no sense", every)
	}
	p, err := newPlayer(r, s)
	if err != nil {
		return fmt.Errorf("run bath script: %w", err)
	}
	for at := time.Duration(0); at <= s.Length; at += every {
		var said []string
		for _, d := range p.playTo(at) {
			if d.Events != "" {
				said = append(said, d.Events)
			}
		}
		yield(p.bath.frame(s.Start), strings.Join(said, "; "), p.bath.pan.Truth())
	}
	return nil
}

// Due is something that a script reports when its time has come: operator
// events to be entered as a maker would, or a probe's fault to be made on the
// wire. One of the two is set.
type Due struct {
	At     time.Duration
	Events string
	Fault  *ProbeFault
}

// player moves a bath along a script.
type player struct {
	bath   *bath
	script Script
	next   int // action
}

func newPlayer(r Rig, s Script) (*player, error) {
	b, err := newBath(r)
	return &player{bath: b, script: s}, err
}

// playTo does everything up to and including offset to, each at its instant.
func (p *player) playTo(to time.Duration) []Due {
	var due []Due
	for ; p.next < len(p.script.actions) && p.script.actions[p.next].at <= to; p.next++ {
		a := p.script.actions[p.next]
		p.bath.advance(a.at - p.bath.pan.at)
		a.do(p.bath)
		if a.said != "" || a.fault != nil {
			due = append(due, Due{At: a.at, Events: a.said, Fault: a.fault})
		}
	}
	p.bath.advance(to - p.bath.pan.at)
	return due
}

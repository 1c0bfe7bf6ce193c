package bench

import (
	"fmt"
	"sync"
	"time"

	"bainward/sensors"
)

// Live plays a script in step with a caller's clock. All of its methods may be
// called from any goroutine; Oil, BathProbe, Room and Pressure are made to be
// what an emulated chip asks. When the script has ended the bath goes on.
type Live struct {
	mu     sync.Mutex
	player *player
}

// NewLive returns the bath of r at offset zero, before the script's first
// action.
func NewLive(r Rig, s Script) (*Live, error) {
	p, err := newPlayer(r, s)
	if err != nil {
		return nil, fmt.Errorf("start live bath: %w", err)
	}
	return &Live{player: p}, nil
}

// AdvanceTo moves the bath to an offset and returns what fell due on the way,
// in order. An offset that has passed already changes nothing.
func (l *Live) AdvanceTo(offset time.Duration) []Due {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.player.playTo(offset)
}

// Do does what hands do at operator events, such as "top-up 0.4 kg": for a
// person who plays the maker. They are not reported by AdvanceTo.
func (l *Live) Do(events string) error {
	do, err := parseEvents(events, true)
	if err != nil {
		return fmt.Errorf("do %q: %w", events, err)
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	do(l.player.bath)
	return nil
}

// Oil, BathProbe and Room return what the chip in that role measures, in °C.
func (l *Live) Oil() float64 { return l.celsius(sensors.Oil) }

// BathProbe returns what the bath probe's chip measures, in °C.
func (l *Live) BathProbe() float64 { return l.celsius(sensors.Bath) }

// Room returns what the room probe's chip measures, in °C.
func (l *Live) Room() float64 { return l.celsius(sensors.Room) }

func (l *Live) celsius(role sensors.Role) float64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.player.bath.celsius(role)
}

// Pressure returns what the barometer measures, in Pa.
func (l *Live) Pressure() float64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	p := l.player.bath.pan
	return p.airPa + p.rig.Barometer.Error
}

// Truth returns what is true now.
func (l *Live) Truth() Truth {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.player.bath.pan.Truth()
}

// Ended reports whether the script has come to its end.
func (l *Live) Ended() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.player.bath.pan.at >= l.player.script.Length
}

package bench

import (
	"strings"
	"time"
)

// Script is what happens to a bath, and when. Its text has one action a line:
//
//	# a comment
//	start 2026-03-01T09:00:00Z           wall time of offset zero; may be left out
//	at 0s fill 1.85 kg; charge           operator events: done, and entered in the record
//	at 20m turn-down
//	at 50m pour 0.4 kg                   water that nobody enters
//	at 3h end                            needed, and last
//
// An offset is a Go duration; offsets never go back. After "at OFFSET" stands
// one of
//
//	EVENTS            operator events as the program takes them, ";" between several:
//	                  fill Q, charge [Q], light, turn-down, top-up Q, strain,
//	                  recharge [Q], bottle [Q], abandon, note TEXT
//	do EVENTS         done, but not entered
//	say EVENTS        entered, but not done
//	pour Q            water in, not entered
//	ladle Q           water out
//	hob full | simmer | off | N W
//	lid on | half | off
//	draught N m/s
//	dish stand | floor | out
//	tap N C           temperature of the water poured from now on
//	room N C
//	pressure N hPa
//	elevation N m     the standard atmosphere's pressure there
//	probe ROLE floor | oil | room | hanging N mm
//	probe ROLE off N K                   it reads so much more than it did
//	probe ROLE FAULT  a code of sensors.Fault, such as absent, crc, power-on or stuck
//	probe ROLE ok     the fault is over
//	probes swapped | sorted
//	end
//
// with ROLE one of oil, bath and room, and Q a number and one of kg g l ml lb
// oz floz. Anything else is an error that names its line.
type Script struct {
	Start   time.Time     // wall time of offset zero
	Length  time.Duration // offset of its end
	actions []action
}

// action is one line.
type action struct {
	at    time.Duration
	said  string      // operator events that are entered
	fault *ProbeFault // what the wire does
	do    func(*bath)
	text  string
}

// defaultStart is a morning like any other.
var defaultStart = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// String returns the script's text without comments.
func (s Script) String() string {
	var b strings.Builder
	b.WriteString("start " + s.Start.Format(time.RFC3339) + "\n")
	for _, a := range s.actions {
		b.WriteString("at " + a.at.String() + " " + a.text + "\n")
	}
	b.WriteString("at " + s.Length.String() + " end\n")
	return b.String()
}

package dashboards

import (
	"strings"
	"time"
)

// Line is a short text in which clock times may stand. Times stay instants
// until somebody reads them: the daemon may run in another zone than the phone
// that shows the page.
type Line []Piece

// Piece is a part of a line: words, or an instant.
type Piece struct {
	Text string    `json:"text,omitempty"`
	At   time.Time `json:"at,omitzero"` // UTC, whole seconds
}

// Clock is the instant by the daemon's clock, for readers without JavaScript.
func (p Piece) Clock() string { return p.At.Local().Format("15:04") }

// Stamp is the instant for programs (RFC 3339, UTC).
func (p Piece) Stamp() string { return p.At.UTC().Format(time.RFC3339) }

// String is the line as somebody in the daemon's zone reads it.
func (l Line) String() string {
	var b strings.Builder
	for _, p := range l {
		if p.At.IsZero() {
			b.WriteString(p.Text)
		} else {
			b.WriteString(p.Clock())
		}
	}
	return b.String()
}

func say(text string) Line { return Line{{Text: text}} }

// instant is wall, seconds later.
func instant(wall time.Time, seconds float64) Piece {
	at := wall.Add(time.Duration(seconds * float64(time.Second)))
	return Piece{At: at.UTC().Round(time.Second)}
}

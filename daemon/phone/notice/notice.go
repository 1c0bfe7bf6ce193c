// Package notice is what one message to a person is, and what carries it: the
// words that the channels of daemon/phone and the escalation above them share.
package notice

import (
	"context"
	"time"

	"bainward/rules/alarm"
)

// Kind says why a person is told.
type Kind uint8

// The kinds of notice.
const (
	Raised  Kind = iota // an alarm wants a person
	Again               // nobody has answered yet
	Over                // it is over, or somebody answers: nothing more to do
	Proof               // no alarm: it proves that the channel works
	Watcher             // about the watching itself: a daemon that ended, a channel that fails
	kindCount
)

var kindWords = [kindCount]string{"raised", "again", "over", "proof", "watcher"}

func (k Kind) String() string {
	if k < kindCount {
		return kindWords[k]
	}
	return "unknown-kind"
}

// ParseKind finds the kind named s.
func ParseKind(s string) (Kind, bool) {
	for k := range kindCount {
		if kindWords[k] == s {
			return k, true
		}
	}
	return 0, false
}

// Notice is one message to one person through one channel. Its text is plain,
// and short enough for a lock screen.
type Notice struct {
	ID       string // the same at every try; the far end may know it again by this
	Call     string // the call it belongs to; empty for a proof
	Contact  string
	Channel  string
	Kind     Kind
	Site     string
	Bath     string // empty: the whole site
	Alarm    string // the alarm's id; empty: none, or several
	Priority alarm.Priority
	Title    string    // at most 40 characters: the bath and the fact
	Text     string    // at most 180 characters: the fact, what to do now, the time left
	Link     string    // a page on which one tap answers the call; empty: none
	Wall     time.Time // of the sample that tripped the rule
	Quiet    bool      // show it, but wake nobody
	// Picture draws the last half hour as PNG, for a channel that can carry one;
	// nil: there is none.
	Picture func(context.Context) ([]byte, error)
}

// Channel carries notices out of the house.
type Channel interface {
	// Name is the channel's name in the site file.
	Name() string
	// Send delivers one notice and returns what the far end said, in a few words
	// for the record. It ends when ctx does. An error is a *Failure if it is known
	// whether another try makes sense. Neither answer nor error holds a secret.
	Send(ctx context.Context, n Notice) (answer string, err error)
}

// Failure is a delivery that failed, with what that means for the next one.
type Failure struct {
	Err   error
	Final bool          // another try cannot help: the address is gone, the message too big
	After time.Duration // the far end asked to wait so long; 0: it did not say
}

func (f *Failure) Error() string { return f.Err.Error() }

// Unwrap returns the cause.
func (f *Failure) Unwrap() error { return f.Err }

package calls

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Instant is when a step is taken.
type Instant struct {
	At     time.Duration // offset, on which everything is counted; it never goes back
	Wall   time.Time     // for people
	Minute int           // of the local day, from 0; for quiet hours alone
}

// Happening is something that a step takes in: Changed, Standing, Matter,
// Answered or Tried.
type Happening interface{ happened(*step) }

// Changed is an alarm that changed its state. Only the state it came to counts,
// so that it does no harm to tell how every alarm stands, as after a restart:
// calls that are missing are opened then, and those that have ended are ended.
type Changed struct {
	Bath string
	alarm.Change
	By  string // the person who did it; empty: it changed by itself
	Via string // through what, such as "link", "page" or "mqtt"; may be empty
}

// Standing is how an alarm stands at this instant. It opens and ends nothing and
// is no fact: a notice that is told again takes its words from it, for by then
// another time is left than at first.
type Standing struct {
	Bath    string
	Alarm   rules.ID
	State   alarm.State
	Finding rules.Finding
}

// Matter is something about the whole site that is no rule's business and wants
// a person: a sibling daemon that died, this one's own crash, a dead channel. It
// is open from its first Matter until it is over or answered.
type Matter struct {
	Subject  string // without spaces, such as "sibling-barn"; names it
	Priority alarm.Priority
	Fact     string // a few words for the title
	Do       string // what to do, in whole sentences
	Over     bool
}

// Answered is a person who answers a call. Whoever reports it acknowledges the
// alarm as well; a call unknown or ended is passed over, so that two taps on one
// link do no harm.
type Answered struct {
	Call string
	Who  string
	Via  string
}

// Result is how a try to deliver a notice went.
type Result uint8

// The results.
const (
	Delivered Result = iota // the far end has it
	Failed                  // it will be tried again
	GaveUp                  // it will not, and nobody has it
	Withdrawn               // it is not needed any more
	resultCount
)

var resultWords = [resultCount]string{"delivered", "failed", "gave-up", "withdrawn"}

func (r Result) String() string {
	if r < resultCount {
		return resultWords[r]
	}
	return "unknown-result"
}

// ParseResult finds the result named s.
func ParseResult(s string) (Result, bool) {
	for r := range resultCount {
		if resultWords[r] == s {
			return r, true
		}
	}
	return 0, false
}

// Tried is how a try to deliver a notice went; it is a happening, and a fact.
type Tried struct {
	Notice string // its ID
	Try    int    // which one, from 1; 0: withdrawn or given up before the first
	Result Result
	Said   string        // by the far end or about the failure, in a few words
	Next   time.Duration // until the next try, of Failed
}

package calls

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// Fact is something that the record must hold before anything leaves: Opened,
// Due, Ended or Tried. It holds from the instant of the step that returned it.
type Fact interface {
	take(b *Book, at time.Duration, wall time.Time)
}

// Opened says that something wants a person from now on.
type Opened struct {
	Call     string
	Bath     string // empty: the whole site
	What     string // the alarm's id, or the subject of a Matter
	Priority alarm.Priority
	Fact, Do string // as it was told at first
}

// Due says that a notice is to be sent. It has neither Picture nor Link.
type Due struct {
	notice.Notice
	Calls []string // all that it tells of, the gravest first; Notice.Call is the first
}

// Supersedes reports whether d takes the place of an older notice that has not
// arrived: it goes the same way and tells of everything that the older one does,
// or it calls again about something that the older one says is over. A phone
// that comes back after an hour shall not ring twenty times.
func (d Due) Supersedes(older Due) bool {
	if d.Kind == notice.Over || d.Kind == notice.Proof || d.Contact != older.Contact || d.Channel != older.Channel {
		return false
	}
	if older.Kind == notice.Over {
		return slices.ContainsFunc(older.Calls, func(over string) bool {
			return slices.ContainsFunc(d.Calls, func(id string) bool { return Subject(id) == Subject(over) })
		})
	}
	return len(older.Calls) > 0 && !slices.ContainsFunc(older.Calls, func(id string) bool { return !slices.Contains(d.Calls, id) })
}

// Ended says that a call is over: there will be nothing more about it but that.
type Ended struct {
	Call string
	How  How
	Who  string // who answered; empty: nobody had to
	Via  string
}

// How says how a call ended.
type How uint8

// The ways in which a call ends. The first four are answers.
const (
	Acknowledged How = iota
	Shelved
	OutOfService
	Suppressed // by design: it does not apply any more
	Returned   // went away by itself and is not grave enough to insist
	Cleared    // a new batch began, or the matter is over
	howCount
)

var howWords = [howCount]string{
	"acknowledged", "shelved", "out-of-service", "suppressed-by-design", "returned", "cleared",
}

func (h How) String() string {
	if h < howCount {
		return howWords[h]
	}
	return "unknown-how"
}

// ParseHow finds the way named s.
func ParseHow(s string) (How, bool) {
	for h := range howCount {
		if howWords[h] == s {
			return h, true
		}
	}
	return 0, false
}

// Answer reports whether the call was answered rather than over by itself.
func (h How) Answer() bool { return h <= Suppressed }

// callID names one occurrence: bath, what and the offset in ms at which it was
// raised. The bath of a site's matter is empty.
func callID(bath, what string, at time.Duration) string {
	return subject(bath, what) + strconv.FormatInt(at.Milliseconds(), 10)
}

func subject(bath, what string) string { return bath + "/" + what + "/" }

// Subject returns what a call's id says it is about: the bath and the alarm,
// without the occurrence.
func Subject(call string) string { return call[:strings.LastIndexByte(call, '/')+1] }

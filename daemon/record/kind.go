package record

// Kind says what an entry tells. The words are part of the file format.
type Kind string

// The kinds of entry; those of goods stand in goods.go. Each but a reading has its
// body type in this package.
const (
	KindReading    Kind = "reading"    // one bath's frame
	KindEvent      Kind = "event"      // something the maker did: Event
	KindFinding    Kind = "finding"    // a rule changed its mind: Finding
	KindAlarm      Kind = "alarm"      // an alarm changed its state: Alarm
	KindCommand    Kind = "command"    // a person acted on an alarm: Command
	KindPhase      Kind = "phase"      // the batch moved on: Phase
	KindBatch      Kind = "batch"      // a batch was opened or closed: Batch
	KindConfig     Kind = "config"     // what the bath's rules go by from here: Config
	KindRestart    Kind = "restart"    // the daemon came up: Restart
	KindClock      Kind = "clock"      // the wall clock was set: Clock
	KindCall       Kind = "call"       // something wants a person, or no longer: Call
	KindNotice     Kind = "notice"     // a message to a person is due: Notice
	KindAttempt    Kind = "attempt"    // how a try to deliver it went: Attempt
	KindCorrection Kind = "correction" // an earlier entry is void: Correction
	KindCutout     Kind = "cutout"     // the heat of a bath was cut or allowed: Cutout
	KindStop       Kind = "stop"       // the daemon ended in good order: Stop
)

// Known reports whether k is one of the kinds of entry.
func (k Kind) Known() bool { return k == KindReading || newBody(k) != nil }

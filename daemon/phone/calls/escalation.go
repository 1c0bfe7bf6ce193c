package calls

import "bainward/rules/alarm"

// rung is what a call of one priority asks for.
type rung struct {
	repeats   int  // how often each person is told again; endless, or 0
	every     int  // pause between two, in units of Plan.Repeat
	contacts  int  // how many people are called in all; everybody, or a number
	insists   bool // an alarm that went away by itself still wants a person
	waits     bool // is held back in a contact's quiet hours
	wakes     bool // is loud in quiet hours
	loud      bool // is loud otherwise
	halfMosts int  // notices to one person through one channel in a Span, in halves of Plan.Most
	why       string
}

const (
	endless   = 1 << 30
	everybody = 1 << 30
)

// escalation is what was decided for each priority. The names of the priorities
// and the rule that an alarm wants a response are those of IEC 62682 and
// ANSI/ISA-18.2; the rest is our own decision, for the reasons given.
var escalation = [...]rung{
	alarm.Low: {
		contacts: 1, waits: true, halfMosts: 2,
		why: "can be mended at leisure: worth a line on the screen, never a night's sleep",
	},
	alarm.Medium: {
		repeats: 3, every: 2, contacts: 2, loud: true, halfMosts: 2,
		why: "costs a batch's quality, not a house: whoever heard nothing in four tellings is away, and one more is asked",
	},
	alarm.High: {
		repeats: endless, every: 1, contacts: everybody, insists: true, wakes: true, loud: true, halfMosts: 4,
		why: "minutes are left, or nobody watches a lit bath; that it went away by itself may only mean that a probe died",
	},
	alarm.Critical: {
		repeats: endless, every: 1, contacts: everybody, insists: true, wakes: true, loud: true, halfMosts: 6,
		why: "something may burn: everybody, until one of them has seen it",
	},
}

// The budgets lie one above the other: what lesser calls have used up still
// leaves room for the graver. Above them all stands the first notice of a
// critical call, which waits for no budget.

// overHalfMosts is the budget of notices that something is over, the first to
// be spared.
const overHalfMosts = 1

func rungOf(p alarm.Priority) *rung { return &escalation[int(p)%len(escalation)] }

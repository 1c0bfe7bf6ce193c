package calls

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Plan says who is called, and how patiently. The zero value of a field without
// a remark is a useful one.
type Plan struct {
	Site     string
	Contacts []Contact // in the order in which they are called; none: nobody is
	// Repeat is the pause after which an unanswered grave call is told again;
	// 0: DefaultRepeat.
	Repeat time.Duration
	// GroupWithin is how long a notice may wait to be joined by others to the same
	// person; 0: DefaultGroupWithin.
	GroupWithin time.Duration
	// Most bounds the notices of lesser calls to one person through one channel in
	// any Span; 0: DefaultMost. escalation.go says what graver ones may use.
	Most  int
	Words Words // nil: Plain(rules.Metric)
}

// Contact is a person who is called.
type Contact struct {
	Name     string
	Channels []string       // all are used at once: one of them may be dead
	Wait     time.Duration  // unanswered so long, the next contact is called too
	Least    alarm.Priority // lesser calls pass this contact by
	Quiet    Quiet
}

// Quiet is a span of the local day in minutes since midnight, from its first to
// before its last; it may run across midnight. The zero Quiet holds no minute.
type Quiet struct{ From, To int }

// Holds reports whether the minute of the day lies in q.
func (q Quiet) Holds(minute int) bool {
	if q.From <= q.To {
		return q.From <= minute && minute < q.To
	}
	return minute >= q.From || minute < q.To
}

// Words says in short phrases what a rule found: the fact, such as "boiling
// dry", which follows the bath's name in a title; what to do now, in whole
// sentences; and the time left, empty if nobody knows.
type Words func(id rules.ID, f rules.Finding) (fact, do, left string)

// What holds where a plan says nothing.
const (
	// DefaultRepeat: a phone not heard at the sink is heard three minutes later,
	// and a bare base follows some 20 minutes after the first warning (common
	// practice, no source).
	DefaultRepeat = 3 * time.Minute
	// DefaultGroupWithin: what goes wrong together is raised within seconds. A dry
	// pan gains 10 to 20 K meanwhile, and only if another critical notice has just
	// gone to the same phone.
	DefaultGroupWithin = 10 * time.Second
	// Span and DefaultMost: EEMUA 191 and ISA-18.2 call one alarm in ten minutes
	// acceptable and two the most that one person can manage; more than ten is a
	// flood. A call is told several times, hence six.
	Span        = 10 * time.Minute
	DefaultMost = 6
)

func (p *Plan) repeat() time.Duration {
	if p.Repeat > 0 {
		return p.Repeat
	}
	return DefaultRepeat
}

func (p *Plan) groupWithin() time.Duration {
	if p.GroupWithin > 0 {
		return p.GroupWithin
	}
	return DefaultGroupWithin
}

func (p *Plan) most() int {
	if p.Most > 0 {
		return p.Most
	}
	return DefaultMost
}

func (p *Plan) say(id rules.ID, f rules.Finding) (fact, do, left string) {
	if p.Words != nil {
		return p.Words(id, f)
	}
	return Plain(rules.Metric)(id, f)
}

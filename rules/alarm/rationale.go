package alarm

import (
	"time"

	"bainward/rules"
)

// Rationale is what was decided about one alarm when it was designed (the
// rationalisation of ISA-18.2): how grave it is, how long its finding must
// last before a person is called, how long it must be gone before the alarm
// returns, and whether it stays until somebody has seen it.
type Rationale struct {
	Priority Priority
	OnDelay  time.Duration
	OffDelay time.Duration
	Latched  bool
	Why      string // of the delays and the priority
}

// The starting delay for temperatures is 60 s (ISA-18.2-2009 table, after
// EEMUA 191; from memory). It is kept where a minute costs nothing and cut
// where it does: a dry pan gains 1 to 2 K each second.
var rationale = [rules.IDCount]Rationale{
	rules.BoilingDry: {Critical, 3 * time.Second, 30 * time.Second, true,
		"a dry pan gains 1 to 2 K a second; the finding itself takes two readings"},
	rules.Overheating: {Critical, 5 * time.Second, 60 * time.Second, true,
		"the oil is being spoiled and may smoke; its probe is slow enough to damp noise"},
	rules.DishBare: {High, 20 * time.Second, 30 * time.Second, false,
		"minutes are left before the pan is dry; the finding rests on four minutes already"},
	rules.TopUpDue: {Medium, 5 * time.Second, 5 * time.Second, false,
		"a plain request; it is raised some eight minutes ahead"},
	rules.BathSilent: {High, 5 * time.Second, 10 * time.Second, false,
		"nobody watches a lit bath; the rule waits 20 s for a loose plug"},
	rules.ProbeSilent: {Medium, 5 * time.Second, 10 * time.Second, false,
		"one eye of two is shut; the rule waits 15 s for a loose plug"},
	rules.ProbeDoubtful: {Medium, 5 * time.Second, 20 * time.Second, false,
		"the judgement rests on this probe; single bad readings are passed over by the rule"},
	rules.OffTheSimmer: {Medium, 60 * time.Second, 60 * time.Second, false,
		"the oil follows its bath by minutes, so a minute costs nothing"},
	rules.TooShort: {Medium, 0, 0, false,
		"a fact, not a measurement: it is raised by an event or by minutes of cooling"},
	rules.WarmBottling: {Low, 0, 0, false,
		"a fact that can be mended at leisure"},
}

// Of returns the rationale of an alarm.
func Of(id rules.ID) Rationale { return rationale[id] }

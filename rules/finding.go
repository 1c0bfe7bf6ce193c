package rules

// Level is what a rule says at an instant.
type Level uint8

// The levels. A rule that lacks what it needs says NotEvaluated, which is
// never the same as Clear.
const (
	NotEvaluated Level = iota
	Clear
	Raised
)

func (l Level) String() string {
	switch l {
	case Clear:
		return "clear"
	case Raised:
		return "raised"
	}
	return "not evaluated"
}

// Cause tells which of a rule's reasons holds; each rule numbers its own from
// zero and turns them into sentences itself.
type Cause uint8

// Finding is what one rule says at an instant. Cause says which of the rule's
// reasons holds; A and B are the numbers that its sentence needs. They are kept
// as numbers so that judging allocates nothing and a record stays exact.
type Finding struct {
	Level Level
	Cause Cause
	A, B  float64
}

// Findings holds one finding of each rule, at its ID.
type Findings [IDCount]Finding

func raised(c Cause, a, b float64) Finding { return Finding{Level: Raised, Cause: c, A: a, B: b} }

var clear = Finding{Level: Clear}

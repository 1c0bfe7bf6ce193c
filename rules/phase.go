package rules

// Phase is where a batch stands.
type Phase uint8

// The phases of a batch.
const (
	Idle Phase = iota
	Heating
	Holding
	Straining
	Settling
	Cooling
	Bottled
	Abandoned
	phaseCount
)

var phaseWords = [phaseCount]string{
	"idle", "heating", "holding", "straining", "settling", "cooling", "bottled", "abandoned",
}

func (p Phase) String() string {
	if p < phaseCount {
		return phaseWords[p]
	}
	return "unknown-phase"
}

// Lit reports whether heat is taken to be on under the bath.
func (p Phase) Lit() bool { return p == Heating || p == Holding }

// Over reports whether the batch has ended.
func (p Phase) Over() bool { return p == Idle || p == Bottled || p == Abandoned }

// Verdict is what can be said of the hold of a batch.
type Verdict uint8

// The verdicts.
const (
	Open    Verdict = iota // not decided yet
	Held                   // held as long as asked, never over the ceiling
	Short                  // strained before the hold was done
	Spoiled                // oil over its ceiling, or abandoned
)

func (v Verdict) String() string {
	switch v {
	case Held:
		return "held"
	case Short:
		return "short"
	case Spoiled:
		return "spoiled"
	}
	return "open"
}

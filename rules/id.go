package rules

// ID names a rule and the alarm that follows from it.
type ID uint8

// The rules, in the order in which people should read them: what may burn
// first, what can be mended at leisure last.
const (
	BoilingDry ID = iota
	Overheating
	DishBare
	TopUpDue
	BathSilent
	ProbeSilent
	ProbeDoubtful
	OffTheSimmer
	TooShort
	WarmBottling
	IDCount
)

var idWords = [IDCount]string{
	"boiling-dry", "overheating", "dish-bare", "top-up-due", "bath-silent",
	"probe-silent", "probe-doubtful", "off-the-simmer", "too-short", "warm-bottling",
}

func (id ID) String() string {
	if id < IDCount {
		return idWords[id]
	}
	return "unknown-rule"
}

// ParseID finds the rule named s.
func ParseID(s string) (ID, bool) {
	for id := range IDCount {
		if idWords[id] == s {
			return id, true
		}
	}
	return 0, false
}

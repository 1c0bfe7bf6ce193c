package calls

import (
	"strings"

	"bainward/rules"
)

// Plain returns words that are made of what the rules say anyway: the alarm's id
// is the fact; the first sentence of the advice is what to do, before the numbers,
// which may find no room. Nobody knows the time left.
func Plain(u rules.Units) Words {
	return func(id rules.ID, f rules.Finding) (fact, do, left string) {
		fact = strings.ReplaceAll(id.String(), "-", " ")
		advice, _ := firstSentence(rules.Advice(id))
		return fact, joined(advice, rules.Say(id, f, u)), ""
	}
}

// joined puts sentences into one line; empty ones are passed over.
func joined(sentences ...string) string {
	var kept []string
	for _, s := range sentences {
		if s != "" {
			kept = append(kept, s)
		}
	}
	return strings.Join(kept, " ")
}

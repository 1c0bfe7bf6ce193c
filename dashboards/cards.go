package dashboards

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// AlarmCard is what was decided of one alarm, for people who read it before
// they light.
type AlarmCard struct {
	ID       string
	Priority string
	Advice   string // what to do now
	Lasts    string // how long its cause must last before it calls
	Eases    string // how long the cause must be gone before it is over
	Latched  bool   // it stays until somebody has seen it
	Why      string // of the priority and the delays
}

// AlarmCards returns the card of every alarm, the gravest first.
func AlarmCards() []AlarmCard {
	cards := make([]AlarmCard, 0, rules.IDCount)
	for p := alarm.Critical; ; p-- {
		for id := range rules.IDCount {
			if r := alarm.Of(id); r.Priority == p {
				cards = append(cards, cardOf(id, r))
			}
		}
		if p == alarm.Low {
			return cards
		}
	}
}

func cardOf(id rules.ID, r alarm.Rationale) AlarmCard {
	return AlarmCard{
		ID: id.String(), Priority: r.Priority.String(), Advice: rules.Advice(id),
		Lasts: atOnce(r.OnDelay), Eases: atOnce(r.OffDelay), Latched: r.Latched, Why: r.Why,
	}
}

func atOnce(d time.Duration) string {
	if d == 0 {
		return "at once"
	}
	return "after " + rules.Minutes(d)
}

package dashboards

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// AlarmCards returns the card of every alarm under the limits that hold, the
// gravest first.
func AlarmCards(limits *rules.Limits, u rules.Units) []alarm.Card {
	cards := make([]alarm.Card, 0, rules.IDCount)
	for p := alarm.Critical; ; p-- {
		for id := range rules.IDCount {
			if alarm.Of(id).Priority == p {
				cards = append(cards, alarm.CardOf(id, limits, u))
			}
		}
		if p == alarm.Low {
			return cards
		}
	}
}

// after says of a delay how long it is.
func after(d time.Duration) string {
	if d == 0 {
		return "at once"
	}
	return "after " + rules.Minutes(d)
}

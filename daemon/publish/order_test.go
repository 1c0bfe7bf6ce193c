package publish

import (
	"slices"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/alarm"
)

func TestOrdersAreEventsOrAcknowledgements(t *testing.T) {
	ack := alarm.Command{Alarm: rules.TopUpDue, Action: alarm.Acknowledge}
	litre := rules.Quantity{Milli: 1000, Unit: rules.Litre}
	for text, want := range map[string][]Command{
		"turn-down":               {{Bath: "north", Event: rules.Event{Kind: rules.TurnDown}}},
		" top-up 1 l ":            {{Bath: "north", Event: rules.Event{Kind: rules.TopUp, Quantity: litre}}},
		"acknowledge top-up-due":  {{Bath: "north", Alarm: ack}},
		"acknowledge  top-up-due": {{Bath: "north", Alarm: ack}},
		"acknowledge top-up-due; note foam": {
			{Bath: "north", Alarm: ack},
			{Bath: "north", Event: rules.Event{Kind: rules.Note, Text: "foam"}},
		},
	} {
		got, err := ParseOrder("north", text)
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %+v, error %v; want %+v", text, got, err, want)
		}
	}
}

func TestOrdersThatAreNotUnderstoodSayWhy(t *testing.T) {
	for text, says := range map[string]string{
		"":                                 "empty",
		" ; ":                              "empty",
		"burn":                             "unknown event",
		"acknowledge":                      "no alarm is called",
		"acknowledge everything":           "everything",
		"fill":                             "how much water",
		"turn-down; burn":                  "burn",
		"note \xff":                        "not UTF-8",
		"note " + strings.Repeat("x", 2e3): "2005 bytes",
	} {
		got, err := ParseOrder("north", text)
		if err == nil || !strings.Contains(err.Error(), says) || got != nil {
			t.Errorf("%.40q: %v, error %v; want none and an error that says %q", text, got, err, says)
		}
	}
}

// Whatever a stranger sends, an order is refused or holds something to do.
func FuzzParseOrder(f *testing.F) {
	for _, seed := range []string{"turn-down", "acknowledge top-up-due; note foam", "top-up 1e3 l", ";;", "note \x00"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		commands, err := ParseOrder("north", text)
		if (err == nil) != (len(commands) > 0) {
			t.Fatalf("%d commands and error %v", len(commands), err)
		}
		for _, c := range commands {
			if (c.Event.Kind == rules.NoEvent) == (c.Alarm.Action == alarm.NoAction) {
				t.Fatalf("%q: %+v is neither an event nor an action, or both", text, c)
			}
		}
	})
}

package alarm_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"bainward/rules"
	"bainward/rules/alarm"
)

func cards() []alarm.Card {
	limits := rules.DefaultLimits()
	var all []alarm.Card
	for id := range rules.IDCount {
		all = append(all, alarm.CardOf(id, &limits, rules.Metric))
	}
	return all
}

// Every alarm was thought through: no field of its rationalisation is empty
// ("if nobody needs to respond, it is no alarm": ISA-18.2).
func TestEveryAlarmHasAWholeCard(t *testing.T) {
	for _, c := range cards() {
		for what, text := range map[string]string{
			"type": c.Type, "set-point": c.SetPoint, "meaning": c.Means, "consequence": c.Why,
			"causes": strings.Join(c.Causes, "; "), "actions": strings.Join(c.Do, " "),
			"time to respond": c.Within, "its reason": c.WithinWhy, "reason of the delays": c.Rationale.Why,
		} {
			if len(text) < 4 || strings.Contains(text, "%!") || strings.TrimSpace(text) != text {
				t.Errorf("%s: the %s is %q", c.Alarm, what, text)
			}
		}
		if strings.Join(c.Do, " ") != rules.Advice(c.Alarm) {
			t.Errorf("%s: the card tells another thing than the page", c.Alarm)
		}
		if c.Rationale.Priority == alarm.Critical && c.Class != alarm.Safety {
			t.Errorf("%s is critical and of class %s", c.Alarm, c.Class)
		}
	}
}

// The set-point is what the rule goes by, also where a site has its own limits
// and reads Fahrenheit.
func TestASetPointNamesTheLimitsThatHold(t *testing.T) {
	limits := rules.DefaultLimits()
	limits.TopUpDue.LeadS, limits.TopUpDue.Chance = 900, 0.1
	limits.Overheating.ReleaseK = 1.25
	c := alarm.CardOf(rules.TopUpDue, &limits, rules.Metric)
	if !strings.Contains(c.SetPoint, "a chance of 10 %") || !strings.Contains(c.SetPoint, "within 15 min") || c.Within != "15 min" {
		t.Errorf("top-up-due: %q, within %q", c.SetPoint, c.Within)
	}
	for u, want := range map[rules.Units]string{rules.Metric: "1.25 °C", rules.US: "2.25 °F"} {
		if c := alarm.CardOf(rules.Overheating, &limits, u); !strings.Contains(c.SetPoint, want) {
			t.Errorf("overheating: %q, want %s in it", c.SetPoint, want)
		}
	}
}

// The times that cards give follow from the figures beside them.
func TestTheTimesThatAreLeftCanBeReckoned(t *testing.T) {
	const (
		smokes, smokesLate = 190.0, 207.0 // °C, olive oil (from memory)
		latent             = 2256.47e3    // J/kg at 100 °C, IAPWS-IF97
		density            = 958.35       // kg/m³ at 100 °C, IAPWS-IF97
	)
	gains := 1000 * 0.74 / (0.8 * 2000) // K/s
	left := density * math.Pi / 4 * 0.25 * 0.25 * 0.010
	for id, wants := range map[rules.ID][]string{
		rules.BoilingDry:  {fmt.Sprintf("%.0f to %.0f s", (smokes-100)/2, (smokesLate-100)/1)},
		rules.Overheating: {fmt.Sprintf("%.2f K/s", gains), fmt.Sprintf("%.0f s", (smokes-100)/gains)},
		rules.DishBare: {
			fmt.Sprintf("%.2f kg)", left), fmt.Sprintf("%.1f kg/h", 1000/latent*3600),
			fmt.Sprintf("%.0f min", left*latent/1000/60),
		},
	} {
		for _, want := range wants {
			if c := cards()[id]; !strings.Contains(c.WithinWhy, want) {
				t.Errorf("%s: %q lacks %q", id, c.WithinWhy, want)
			}
		}
	}
}

// A lock screen shows some hundred characters; a fact that is cut off helps
// nobody.
func TestShortWordsFitOnALockScreen(t *testing.T) {
	facts := map[string]rules.ID{}
	for id := range rules.IDCount {
		fact, do, left := alarm.Short(id)
		for _, c := range []struct {
			what, text string
			most       int
		}{{"fact", fact, 28}, {"what to do", do, 60}, {"time left", left, 24}} {
			if n := utf8.RuneCountInString(c.text); n == 0 || n > c.most {
				t.Errorf("%s: the %s %q has %d characters, want 1 to %d", id, c.what, c.text, n, c.most)
			}
		}
		if other, twice := facts[fact]; twice {
			t.Errorf("%s and %s are both %q", id, other, fact)
		}
		facts[fact] = id
	}
	if fact, do, left := alarm.Short(rules.IDCount); fact+do+left != "" {
		t.Errorf("an alarm that does not exist says %q %q %q", fact, do, left)
	}
}

// The heat goes off before anything else is done about a pan that may burn; no
// cold water goes near it; and nothing is promised.
func TestCautionsComeFirst(t *testing.T) {
	for _, c := range cards() {
		fact, do, left := alarm.Short(c.Alarm)
		all := strings.Join(append([]string{c.Means, c.Why, c.Within, c.WithinWhy, fact, do, left}, c.Do...), " ")
		for _, promise := range []string{"safe", "no danger", "harmless", "guarantee"} {
			if strings.Contains(strings.ToLower(all), promise) {
				t.Errorf("%s promises: %q", c.Alarm, promise)
			}
		}
		if c.Rationale.Priority == alarm.Critical {
			if !strings.HasPrefix(do, "Heat off.") || !strings.Contains(c.Do[0], "heat off") {
				t.Errorf("%s: first of all %q and %q, want the heat off", c.Alarm, do, c.Do[0])
			}
			if last := c.Do[len(c.Do)-1]; !strings.Contains(last, "never water") {
				t.Errorf("%s does not say what burning oil wants: %q", c.Alarm, last)
			}
		}
		for _, pour := range []string{"add water", "pour water", "add cold", "pour cold water"} {
			if strings.Contains(strings.ToLower(do), pour) {
				t.Errorf("%s: %q names water that is not hot", c.Alarm, do)
			}
		}
	}
}

// A class has a word, and a number outside the set is not taken for one.
func TestClassesHaveWords(t *testing.T) {
	for c, want := range map[alarm.Class]string{
		alarm.Safety: "safety", alarm.Quality: "product quality", alarm.Instrument: "instrument", alarm.Instrument + 1: "unknown-class",
	} {
		if c.String() != want {
			t.Errorf("class %d is %q, want %q", c, c, want)
		}
	}
}

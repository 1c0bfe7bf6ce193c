package rules_test

import (
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// causes lists every cause that each rule has.
func causes(id rules.ID) []rules.Cause {
	switch id {
	case rules.Overheating:
		return []rules.Cause{0, 1, 2}
	case rules.BoilingDry, rules.OffTheSimmer, rules.TooShort:
		return []rules.Cause{0, 1}
	case rules.ProbeSilent:
		return []rules.Cause{rules.Cause(sensors.Oil), rules.Cause(sensors.Bath)}
	case rules.ProbeDoubtful:
		all := []rules.Cause{254, 255} // above the boil, swapped
		for _, role := range []sensors.Role{sensors.Oil, sensors.Bath} {
			for f := sensors.Absent; f <= sensors.Jumped; f++ {
				all = append(all, rules.Cause(role)<<5|rules.Cause(f))
			}
		}
		return all
	}
	return []rules.Cause{0}
}

var sentence = regexp.MustCompile(`^[A-Z].*\.$`)

func TestEveryRuleAndCauseHasASentence(t *testing.T) {
	for id := range rules.IDCount {
		for _, cause := range causes(id) {
			f := rules.Finding{Level: rules.Raised, Cause: cause, A: 84.5, B: 98.25}
			metric, us := rules.Say(id, f, rules.Metric), rules.Say(id, f, rules.US)
			for _, said := range []string{metric, us} {
				if !sentence.MatchString(said) || strings.Contains(said, "%!") || strings.Contains(said, "unknown") {
					t.Errorf("%s, cause %d says %q", id, cause, said)
				}
			}
			if strings.Contains(us, "°C") || strings.Contains(us, " ml") || strings.Contains(metric, "°F") {
				t.Errorf("%s, cause %d mixes units: %q and %q", id, cause, metric, us)
			}
		}
		for _, level := range []rules.Level{rules.NotEvaluated, rules.Clear} {
			if said := rules.Say(id, rules.Finding{Level: level}, rules.Metric); said != "" {
				t.Errorf("%s is %s and says %q", id, level, said)
			}
		}
	}
}

// The tool advises and is not a safety device: no advice may sound like a
// promise. What must be said of fire and hot pans is said.
func TestAdviceTellsWhatToDoAndPromisesNothing(t *testing.T) {
	for id := range rules.IDCount {
		advice := rules.Advice(id)
		if !sentence.MatchString(advice) {
			t.Errorf("%s advises %q", id, advice)
		}
		for _, promise := range []string{"safe", "guarantee", "protect", "no danger", "cannot happen", "will not burn"} {
			if strings.Contains(strings.ToLower(advice), promise) {
				t.Errorf("%s promises %q: %s", id, promise, advice)
			}
		}
	}
	for _, id := range []rules.ID{rules.BoilingDry, rules.Overheating} {
		advice := strings.ToLower(rules.Advice(id))
		for _, must := range []string{"turn the heat off", "lid on", "never water"} {
			if !strings.Contains(advice, must) {
				t.Errorf("%s does not say %q", id, must)
			}
		}
	}
	if heat, water := strings.Index(rules.Advice(rules.BoilingDry), "heat off"), strings.Index(rules.Advice(rules.BoilingDry), "water"); heat < 0 || water >= 0 && water < heat {
		t.Error("boiling-dry does not turn the heat off first")
	}
}

func TestIDsAndPhasesHaveTheWordsOfTheDesign(t *testing.T) {
	want := "boiling-dry overheating dish-bare top-up-due bath-silent probe-silent probe-doubtful off-the-simmer too-short warm-bottling"
	var got []string
	for id := range rules.IDCount {
		got = append(got, id.String())
		if back, ok := rules.ParseID(id.String()); !ok || back != id {
			t.Errorf("%s is read as %s", id, back)
		}
	}
	if strings.Join(got, " ") != want {
		t.Errorf("the rules are %v", got)
	}
	if _, ok := rules.ParseID("unknown-rule"); ok {
		t.Error("a rule that does not exist is found")
	}
	got = nil
	for p := rules.Idle; p <= rules.Abandoned; p++ {
		got = append(got, p.String())
	}
	if strings.Join(got, " ") != "idle heating holding straining settling cooling bottled abandoned" {
		t.Errorf("the phases are %v", got)
	}
}

func TestQuantitiesAreWrittenForPeople(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{rules.Metric.Temp(95.06), "95.1 °C"},
		{rules.US.Temp(100), "212.0 °F"},
		{rules.US.Temp(-40), "-40.0 °F"},
		{rules.Metric.TempDiff(1.25), "1.2 °C"},
		{rules.US.TempDiff(10), "18.0 °F"},
		{rules.Metric.Water(0.254), "250 ml"},
		{rules.Metric.Water(1.46), "1.5 l"},
		{rules.US.Water(0.473176473), "16 fl oz"}, // the US pint, exact
		{rules.Minutes(0), "0 s"},
		{rules.Minutes(89 * time.Second), "89 s"},
		{rules.Minutes(90 * time.Second), "2 min"},
		{rules.Minutes(59*time.Minute + 29*time.Second), "59 min"},
		{rules.Minutes(59*time.Minute + 30*time.Second), "1 h 00 min"},
		{rules.Minutes(125 * time.Minute), "2 h 05 min"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if strings.Contains(rules.Metric.Water(math.Nextafter(1, 0)), "1000 ml") {
		t.Log("just under a litre is written as 1000 ml, which a maker can pour")
	}
}

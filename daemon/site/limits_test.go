package site

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"bainward/rules"
)

func TestUnknownRuleUnderLimitsIsAnErrorThatListsTheRules(t *testing.T) {
	text := designExample + "[recipe.limits.boiling-over]\nfor_s = 3\n[limits.no-such-rule]\nfor_s = 3\n"
	_, err := Parse("test.toml", []byte(text))
	if err == nil {
		t.Fatal("limits of rules that do not exist passed")
	}
	first := strings.Count(designExample, "\n") + 1
	known := knownKeys(reflect.TypeFor[rules.Limits]())
	want := fmt.Sprintf("test.toml line %d: [[recipe]] \"ribwort-fresh\": unknown key in \"[recipe.limits.boiling-over]\"; known here: %s\n", first, known) +
		fmt.Sprintf("test.toml line %d: [limits]: unknown key in \"[limits.no-such-rule]\"; known here: %s", first+2, known)
	if err.Error() != want {
		t.Errorf("errors are\n%v\nwant\n%s", err, want)
	}
}

func TestEveryTableOfLimitsIsNamedForItsRule(t *testing.T) {
	limits := reflect.TypeFor[rules.Limits]()
	for i := range limits.NumField() {
		if name := tomlName(limits.Field(i)); name == "" {
			t.Errorf("rules.Limits.%s has no toml tag, so a site file cannot set it", limits.Field(i).Name)
		} else if _, ok := rules.ParseID(name); !ok {
			t.Errorf("rules.Limits.%s is tagged %q, which is no rule", limits.Field(i).Name, name)
		}
	}
}

// ruleLimits and twoRules stand for rules.Limits, so that laying over is tested
// whatever the rules' limits are.
type ruleLimits struct {
	For  float64 `toml:"for_s"`
	Rise float64 `toml:"rise_c_per_min"`
}

type twoRules struct {
	Dry  ruleLimits `toml:"boiling-dry"`
	Bare ruleLimits `toml:"dish-bare"`
}

func TestLimitsOfARecipeGoBeforeThoseOfTheSite(t *testing.T) {
	site := twoRules{Dry: ruleLimits{For: 3, Rise: 0.5}, Bare: ruleLimits{For: 60}}
	got, err := overlay(site, map[string]any{"boiling-dry": map[string]any{"for_s": int64(10)}})
	if err != nil {
		t.Fatal(err)
	}
	want := twoRules{Dry: ruleLimits{For: 10, Rise: 0.5}, Bare: ruleLimits{For: 60}}
	if got != want {
		t.Errorf("limits are %+v, want %+v", got, want)
	}
}

func TestRecipeWithoutLimitsTakesThoseOfTheSite(t *testing.T) {
	site := twoRules{Dry: ruleLimits{For: 3}}
	got, err := overlay(site, nil)
	if err != nil || got != site {
		t.Errorf("limits are %+v (%v), want %+v", got, err, site)
	}
}

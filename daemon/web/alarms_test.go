package web

import (
	"encoding/json"
	"html"
	"strings"
	"testing"

	"bainward/rules"
)

// The page of all alarms says of each what the card says, gravest first, under
// the site's own limits.
func TestEveryAlarmCanBeReadUpBeforeLighting(t *testing.T) {
	v := newFakeView(holding("north"))
	limits := rules.DefaultLimits()
	limits.TopUpDue.LeadS = 900
	v.site.Limits = &limits
	h := newHandler(t, v, newFakeDoer())
	body := html.UnescapeString(page(t, h, "/alarms"))
	var got struct {
		Alarms []struct {
			Alarm, Means, Why, Within string
			Do                        []string
		}
	}
	if err := json.Unmarshal([]byte(page(t, h, "/api/alarms")), &got); err != nil || len(got.Alarms) != int(rules.IDCount) {
		t.Fatalf("%d alarms, %v", len(got.Alarms), err)
	}
	last := -1
	for _, a := range got.Alarms {
		at := strings.Index(body, `id="`+a.Alarm+`"`)
		if at <= last {
			t.Errorf("%s stands at %d, want it after the one before (%d)", a.Alarm, at, last)
		}
		last = at
		for _, words := range append([]string{a.Means, a.Why, a.Within}, a.Do...) {
			if !strings.Contains(body[max(at, 0):], words) {
				t.Errorf("%s: the page lacks %q", a.Alarm, words)
			}
		}
		if a.Alarm == "top-up-due" && a.Within != "15 min" {
			t.Errorf("top-up-due leaves %q, want the site's 15 min", a.Within)
		}
	}
	if got.Alarms[0].Alarm != "boiling-dry" {
		t.Errorf("the first is %s", got.Alarms[0].Alarm)
	}
}

// An open alarm says what it means, why it matters, what to do and how long
// there is; of a top-up the time is what the rules reckon.
func TestAnOpenAlarmSaysHowLongThereIs(t *testing.T) {
	body := page(t, newHandler(t, newFakeView(boilingDry("north")), newFakeDoer()), "/")
	card := body[strings.Index(body, `data-alarm="boiling-dry"`):]
	card = card[:strings.Index(card, "</li>")]
	for _, want := range []string{"What it means:", "The pan has no water left", "Why it matters:", "What to do now:", "How long there is:", `data-a="within">seconds<`} {
		if !strings.Contains(card, want) {
			t.Errorf("the card lacks %q", want)
		}
	}
	body = page(t, newHandler(t, newFakeView(holding("north")), newFakeDoer()), "/")
	card = body[strings.Index(body, `data-alarm="top-up-due"`):]
	if !strings.Contains(card[:strings.Index(card, "</li>")], `data-a="within">about 22 min (15 min to 35 min)<`) {
		t.Error("the time for a top-up is not what the rules reckon")
	}
}

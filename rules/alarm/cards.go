package alarm

import "bainward/rules"

// page is what one person can tell another of an alarm, whatever the limits.
type page struct {
	kind  string
	class Class
	means string
	why   string
	// causes, the likeliest first (common practice, no source).
	causes            []string
	within, withinWhy string
	fact, now, left   string // of Short
}

// pages holds a page of each alarm, at its ID. Smoke points of olive oil: 190 to
// 207 °C (from memory); what a dry pan gains a second: see rationale.
func pages() *[rules.IDCount]page {
	return &[rules.IDCount]page{
		rules.BoilingDry: {
			kind: "deviation, or rate of change", class: Safety,
			means:  "The pan has no water left, or so little that it does not matter.",
			why:    "The pan follows the hob to over 300 °C in minutes. The oil smokes and can catch fire; the dish can crack. The batch is lost.",
			causes: []string{"the water boiled away unseen", "the hob was turned up", "the probe was lifted out of the water"},
			within: "seconds", withinWhy: "a dry pan gains 1 to 2 K a second: 45 to 107 s from 100 °C to where olive oil smokes, 190 to 207 °C (from memory)",
			fact: "boils dry", now: "Heat off. No cold water. Leave the dish where it is.", left: "seconds",
		},
		rules.Overheating: {
			kind: "deviation, or rate of change", class: Safety,
			means:  "The oil is hotter than its bath can make it, or warms faster: heat comes another way.",
			why:    "The oil loses what the herb gave it, then smokes, then burns. The batch counts as spoiled from its ceiling on.",
			causes: []string{"the pan is dry", "the dish stands on the pan floor", "the dish stands on the hob itself", "the oil probe touches metal"},
			within: "2 to 3 minutes", withinWhy: "0.8 kg of oil at 2.0 kJ/(kg·K) over a hob of 1 kW that gives 74 % of it (US DOE, as widely quoted) gains 0.46 K/s: 195 s from 100 °C to smoking at 190 °C (from memory)",
			fact: "oil too hot", now: "Heat off. Do not move the dish. Pour no water in.", left: "2 to 3 minutes",
		},
		rules.DishBare: {
			kind: "calculated", class: Safety,
			means:  "The water no longer reaches the base of the dish.",
			why:    "The oil cools and the hold stops counting; the water that is left boils away, and then the pan is dry.",
			causes: []string{"a top-up was missed, or was too small", "the pan boils harder than reckoned", "the dish stands higher than the site file says"},
			within: "about 10 minutes", withinWhy: "the finding takes some eight minutes, and 10 mm of water in a 25 cm pan (0.47 kg) boils away in 18 min at 1 kW net, 1.6 kg/h (latent heat of IAPWS-IF97)",
			fact: "the dish stands bare", now: "Look first. Dry: heat off, no water. Else add hot water.", left: "about 10 minutes",
		},
		rules.TopUpDue: {
			kind: "calculated, statistical", class: Quality,
			means:     "By reckoning the water will soon be below the base of the dish.",
			why:       "The base goes bare, the hold stops counting, and then the pan runs dry.",
			causes:    []string{"the water boils away as it must, about every half hour", "the hob is turned higher than a simmer wants"},
			withinWhy: "so long ahead the rule speaks: time to come from the garden, boil a kettle and pour",
			fact:      "water is due", now: "Pour hot water down the side of the pan, then enter it.", left: "some minutes",
		},
		rules.BathSilent: {
			kind: "bad measurement", class: Safety,
			means:  "Neither probe of a lit bath gives a reading to trust. Nobody watches it.",
			why:    "A pan that runs dry now is not seen; only the reckoning of its water goes on.",
			causes: []string{"the plug or cable that both probes share", "the bridge or the machine's 1-Wire line", "water in a joint"},
			within: "at once", withinWhy: "nothing is known, so the worst counts: see boiling-dry",
			fact: "nobody sees the bath", now: "Go there now. Stay with it or turn the heat off.", left: "go now",
		},
		rules.ProbeSilent: {
			kind: "bad measurement", class: Instrument,
			means:  "One probe of the bath no longer answers.",
			why:    "Without the bath probe a dry pan shows only in the oil, minutes later; without the oil probe no hold counts.",
			causes: []string{"a loose plug", "a cable that was pulled or has melted", "water in a joint"},
			within: "some minutes", withinWhy: "the other probe and the reckoning of the water go on meanwhile",
			fact: "a probe is silent", now: "Look at the bath yourself. Check plug and cable.", left: "some minutes",
		},
		rules.ProbeDoubtful: {
			kind: "instrument diagnostic", class: Instrument,
			means:  "A probe answers, but what it says cannot be true.",
			why:    "Alarms that rest on it may fail to come or come for nothing, and no hold counts on it.",
			causes: []string{"a poor contact or supply", "oil and bath probe have changed places", "a probe that hangs beside what it should measure", "a bath probe that has drifted, or touches the hot pan", "a barometer that is wrong"},
			within: "some minutes", withinWhy: "the other probe and the reckoning of the water go on meanwhile",
			fact: "a probe is not believed", now: "Look at the bath yourself. Check where the probes are.", left: "some minutes",
		},
		rules.OffTheSimmer: {
			kind: "deviation", class: Quality,
			means:  "The bath has fallen from its simmer and does not come back.",
			why:    "The oil falls below its floor and the hold stops counting. If a gas flame went out, gas may be flowing.",
			causes: []string{"the heat went out", "the hob was turned too low", "a draught", "the pan is dry and its probe hangs in air"},
			within: "some minutes", withinWhy: "the oil follows its bath with a time constant of 400 to 800 s (0.8 kg of oil and a glass dish, 2.3 kJ/K, over 3 to 6 W/K); gas cannot wait",
			fact: "bath is off the simmer", now: "Dry: heat off. Gas out: close the tap, air the room.", left: "some minutes",
		},
		rules.TooShort: {
			kind: "recipe-driven", class: Quality,
			means:  "The hold was cut short, or is being lost to cooling.",
			why:    "The oil is weaker than its sheet says.",
			causes: []string{"strained before the time", "the heat went out and nobody came"},
			within: "while the herb is in the oil", withinWhy: "the hold goes on counting once the oil is above its floor again",
			fact: "the hold is too short", now: "Herb still in: look at the water, bring the simmer back.", left: "while the herb is in",
		},
		rules.WarmBottling: {
			kind: "deviation", class: Quality,
			means:  "The oil was bottled before it was at room temperature.",
			why:    "Warm oil draws in damp air as it shrinks and sweats water under the cap; oil with water in it spoils.",
			causes: []string{"bottled in a hurry", "the probe was still in warm oil when the bottles were filled"},
			within: "the same day", withinWhy: "water sweats out as the oil cools, which takes hours",
			fact: "bottled warm", now: "Leave the bottles open under a cloth until they are cool.", left: "today",
		},
	}
}

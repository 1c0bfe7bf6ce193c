package rules_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"periph.io/x/conn/v3/physic"

	"bainward/rules"
)

func TestEventsAreReadAsTheDesignWritesThem(t *testing.T) {
	q := func(milli int64, u rules.Unit) rules.Quantity { return rules.Quantity{Milli: milli, Unit: u} }
	for text, want := range map[string][]rules.Event{
		"":                          nil,
		" ; ":                       nil,
		"fill 1.45 kg; charge":      {{Kind: rules.Fill, Quantity: q(1450, rules.Kilogram)}, {Kind: rules.Charge}},
		"charge 800 ml":             {{Kind: rules.Charge, Quantity: q(800000, rules.Millilitre)}},
		"light":                     {{Kind: rules.Light}},
		" turn-down ;":              {{Kind: rules.TurnDown}},
		"top-up":                    {{Kind: rules.TopUp}},
		"top-up 12floz":             {{Kind: rules.TopUp, Quantity: q(12000, rules.FluidOunce)}},
		"strain; recharge 200 g":    {{Kind: rules.Strain}, {Kind: rules.Recharge, Quantity: q(200000, rules.Gram)}},
		"bottle 1.5 lb":             {{Kind: rules.Bottle, Quantity: q(1500, rules.Pound)}},
		"bottle 3 oz":               {{Kind: rules.Bottle, Quantity: q(3000, rules.Ounce)}},
		"fill 2 l":                  {{Kind: rules.Fill, Quantity: q(2000, rules.Litre)}},
		"abandon":                   {{Kind: rules.Abandon}},
		"note smells of  hay, good": {{Kind: rules.Note, Text: "smells of  hay, good"}},
	} {
		got, err := rules.ParseEvents(text)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q is read as %+v (%v), want %+v", text, got, err, want)
		}
		for _, e := range got {
			if again, err := rules.ParseEvent(e.String()); err != nil || again != e {
				t.Errorf("%q written again is %q, read as %+v (%v)", text, e, again, err)
			}
		}
	}
}

func TestWhatIsNoEventSaysWhatIsWanted(t *testing.T) {
	for text, want := range map[string]string{
		"lihgt":              `unknown event "lihgt": want fill Q, charge [Q], light`,
		"fill":               "say how much water, such as fill 1.45 kg",
		"light 2 kg":         "light takes no quantity",
		"note":               "a note needs its text",
		"top-up much":        "want a number and a unit (kg g l ml lb oz floz), such as 1.45 kg",
		"top-up 2 pints":     `unknown unit "pints"`,
		"top-up 2":           "want a number and a unit",
		"top-up 2 ":          "want a number and a unit",
		"top-up 1.2.3 kg":    `"1.2.3" is not a number`,
		"top-up -1 kg":       "want a number and a unit",
		"top-up 0 kg":        "out of range",
		"top-up 1000001 l":   "out of range",
		"fill 1000000.001 l": "out of range",
		"top-up 0.0004 kg":   "out of range",
		"light; fill; light": "say how much water",
	} {
		if _, err := rules.ParseEvents(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
}

// NIST Handbook 44, appendix C: the avoirdupois pound is 453.592 37 g and the
// ounce 28.349 523 125 g, both exact; the US fluid ounce 29.573 529 562 5 ml.
func TestUnitsAreThoseOfHandbook44(t *testing.T) {
	for text, grams := range map[string]float64{
		"1 kg": 1000, "1 g": 1, "1 l": 1000, "1 ml": 1,
		"1 lb": 453.59237, "1 oz": 28.349523125, "16 oz": 453.59237,
		"1 floz": 29.5735295625, "128 floz": 3785.411784, // the US gallon, exact
	} {
		q, err := rules.ParseQuantity(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := q.Kilograms(1) * 1000; math.Abs(got-grams) > 1e-9*grams {
			t.Errorf("%s of something that weighs 1 kg/l is %.9f g, want %.9f", text, got, grams)
		}
		if got, want := q.Mass(1), physic.Mass(math.Round(grams*1e9)); got < want-2000 || got > want+2000 { // 2 µg
			t.Errorf("%s is %s, want %s", text, got, want)
		}
	}
	litre, _ := rules.ParseQuantity("1 l")
	if got := litre.Kilograms(0.915); got != 0.915 {
		t.Errorf("a litre of oil weighs %v kg", got)
	}
	if (rules.Quantity{}).Given() || (rules.Quantity{}).String() != "" {
		t.Error("no quantity says something")
	}
}

// Whatever is read can be written and read again, and no quantity is nothing,
// negative or without end.
func FuzzParseEvents(f *testing.F) {
	for _, seed := range []string{
		"fill 1.45 kg; charge", "light", "top-up 12floz", "note a;b", "strain;recharge 200 g", ";;", "fill 1e3 kg",
		"top-up 0.0005 l", "fill .5 kg", "bottle 5. l", "note \x00", "fill 999999.9999 ml", "fill 999999.9995 l",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		events, err := rules.ParseEvents(text)
		if err != nil {
			if len(events) > 0 {
				t.Errorf("%q: half-read", text)
			}
			return
		}
		for _, e := range events {
			if q := e.Quantity; q.Given() && !(q.Milli > 0 && q.Kilograms(1) > 0 && q.Kilograms(1) < 1e6) {
				t.Errorf("%q: a quantity of %+v", text, q)
			}
			again, err := rules.ParseEvent(e.String())
			if err != nil || again != e {
				t.Errorf("%q: %q is read again as %+v (%v)", text, e, again, err)
			}
		}
	})
}

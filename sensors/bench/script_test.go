package bench

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"bainward/sensors"
)

func TestABadLineIsNamed(t *testing.T) {
	for text, want := range map[string]string{
		"at 0s light\nfoo\nat 1s end":                      `x:2: unknown word "foo"`,
		"at 0s frobnicate\nat 1s end":                      `x:1: unknown action or event "frobnicate"`,
		"# c\n\nat soon light\nat 1s end":                  `x:3: offset "soon"`,
		"at -1s light\nat 1s end":                          `x:1: offset "-1s"`,
		"at 5s light\nat 4s end":                           "x:2: offset 4s goes back",
		"at 0s light":                                      "x:1: the script has no end",
		"":                                                 "x:0: the script has no end",
		"at 1s end\nat 2s light":                           "x:2: nothing may follow the end",
		"at 0s\nat 1s end":                                 "x:1: nothing follows the offset",
		"at 0s top-up\nat 1s end":                          "x:1: top-up: say how much",
		"at 0s light 3 kg\nat 1s end":                      "x:1: light takes no quantity",
		"at 0s fill 1.85\nat 1s end":                       `x:1: fill: quantity "1.85"`,
		"at 0s fill NaN kg\nat 1s end":                     `x:1: fill: quantity "NaN kg"`,
		"at 0s fill -1 kg\nat 1s end":                      `x:1: fill: quantity "-1 kg"`,
		"at 0s charge; jump\nat 1s end":                    `x:1: unknown action or event "jump"`,
		"at 0s charge;\nat 1s end":                         `x:1: unknown action or event ""`,
		"at 0s note\nat 1s end":                            "x:1: note: a note needs its text",
		"at 0s say jump\nat 1s end":                        `x:1: unknown action or event "jump"`,
		"at 0s hob warm\nat 1s end":                        "x:1: hob: want full, simmer, off or a power",
		"at 0s lid ajar\nat 1s end":                        `x:1: lid: unknown word "ajar"`,
		"at 0s pressure 1013 Pa\nat 1s end":                `x:1: pressure: "1013 Pa": want a number from 400 to 1100 and the unit hPa`,
		"at 0s probe wine absent\nat 1s end":               `x:1: unknown probe "wine"`,
		"at 0s probe oil tired\nat 1s end":                 `x:1: probe oil: unknown spot or fault "tired"`,
		"at 0s probe bath hanging 12\nat 1s end":           `x:1: "12": want a number`,
		"at 0s light\nstart 2026-03-01T09:00:00Z":          "x:2: start stands before the first action",
		"start yesterday\nat 1s end":                       `x:1: start "yesterday"`,
		"at 0s probe bath off 40 K\nat 1s end":             `x:1: "40 K": want a number from -10 to 10`,
		"at 0s probes lost\nat 1s end":                     `x:1: probes: unknown word "lost"`,
		"at 0s " + strings.Repeat("a", 70000) + "\n":       "read x after line 0",
		"at 0s tap 15 C\nat 0s draught 400 m/s\nat 1s end": `x:2: draught: "400 m/s"`,
	} {
		_, err := ParseScript("x", strings.NewReader(text))
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%.40q: got error %v, want %s…", text, err, want)
		}
	}
}

const everything = `start 2026-05-01T08:00:00Z
at 0s elevation 120 m
at 0s fill 64 floz; charge 220 g; note mild # of last week
at 0s probe bath hanging 12 mm
at 1m0s light
at 2m0s do top-up 200 ml
at 2m0s say top-up; note forgot
at 3m0s hob 600 W
at 3m0s lid half
at 3m0s draught 0.4 m/s
at 4m0s ladle 100 g
at 5m0s pour 1 lb
at 5m0s room 24 C
at 5m0s tap 60 C
at 5m0s pressure 1001.5 hPa
at 6m0s dish floor
at 6m0s probe oil room
at 6m0s probe room stuck
at 6m0s probe bath off -0.5 K
at 7m0s probes swapped
at 8m0s strain; recharge; abandon; bottle 700 ml
at 9m0s end
`

func TestAScriptWritesItselfDown(t *testing.T) {
	s, err := ParseScript("x", strings.NewReader(everything))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := s.String(), strings.Replace(everything, " # of last week", "", 1); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	run := play(t, DefaultRig(), s, 30*time.Second)
	if got, want := run[4].events, "top-up; note forgot"; got != want {
		t.Errorf("entered %q, want %q", got, want)
	}
	// 64 floz, 200 ml and a pound, by hand: 1.8892 + 0.1996 + 0.4536 kg.
	near(t, "poured, kg", run[len(run)-1].truth.Books.PouredKg, 2.5424, 0.0005)
	if wall := run[2].Wall; !wall.Equal(time.Date(2026, 5, 1, 8, 1, 0, 0, time.UTC)) {
		t.Errorf("the frame at 1 min is stamped %s", wall)
	}
}

func TestTheSameRunComesOutTwice(t *testing.T) {
	s := load(t, "probe-dropout")
	first, again := play(t, Vary(7), s, 10*time.Second), play(t, Vary(7), s, 10*time.Second)
	if !reflect.DeepEqual(first, again) {
		t.Error("two runs of the same rig and script differ")
	}
	other := Vary(7)
	other.Seed++
	if reflect.DeepEqual(first, play(t, other, s, 10*time.Second)) {
		t.Error("another seed gives the same noise")
	}
}

func TestHowOftenAFrameIsTakenDoesNotChangeTheBath(t *testing.T) {
	s := load(t, "early-strain")
	often, seldom := play(t, DefaultRig(), s, time.Second), play(t, DefaultRig(), s, time.Minute)
	for i, m := range seldom {
		if o := often[i*60]; o.Frame != m.Frame {
			t.Fatalf("at %s: %v and %v", m.At, o.Frame, m.Frame)
		}
	}
}

func TestARunWithoutABeatIsRefused(t *testing.T) {
	err := Run(DefaultRig(), load(t, "hob-out"), 0, func(sensors.Frame, string, Truth) {})
	if err == nil {
		t.Error("a run with a frame every 0 s was begun")
	}
}

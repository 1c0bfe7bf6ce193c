package web

import (
	"context"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"

	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// spy lists what the page's real audio context and vibrator are asked for.
const spy = `
window.tones = []; window.shakes = [];
window.AudioContext = class extends AudioContext {
  createOscillator() {
    const o = super.createOscillator();
    const start = o.start.bind(o);
    o.start = (at) => { window.tones.push(o.frequency.value); start(at); };
    return o;
  }
};
navigator.vibrate = (pattern) => { window.shakes.push(pattern); return true; };
{ const now = Date.now; window.ahead = 0; Date.now = () => now() + window.ahead; }
`

// openWithSpy opens a page with a spy on its sounds and a clock that can be put
// forward.
func openWithSpy(t *testing.T, chromium context.Context, address string) *tab {
	t.Helper()
	p := openTab(t, chromium, 390, "about:blank")
	if _, err := chromedp.Call(p.ctx, cdp.AddScriptToEvaluateOnNewDocument, cdp.AddScriptToEvaluateOnNewDocumentParams{Source: spy}); err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.Navigate(address))
	p.until("the stream has opened", `document.documentElement.classList.contains("has-js")`)
	return p
}

// alarmed is a simmering bath with one alarm of a priority.
func alarmed(id rules.ID, p alarm.Priority, state alarm.State) fold.Snapshot {
	s := holding("north")
	s.Alarms[id] = fold.Standing{State: state, Priority: p, Since: s.At, Text: "It is so.", Advice: "Do this."}
	return s
}

const soundSwitch = "[data-sound-switch]"

func TestTheOpenPageIsHeard(t *testing.T) {
	chromium := browser(t)
	t.Run("each priority has its own pattern, once sound is on", func(t *testing.T) { soundsByPriority(t, chromium) })
	t.Run("a mute spares critical alarms only", func(t *testing.T) { mutesAllButCritical(t, chromium) })
	t.Run("no data is loud until data is back", func(t *testing.T) { soundsWithoutData(t, chromium) })
	t.Run("the switch is remembered for the session", func(t *testing.T) { remembersTheSwitch(t, chromium) })
}

func soundsByPriority(t *testing.T, chromium context.Context) {
	v := newFakeView(alarmed(rules.DishBare, alarm.High, alarm.Unacknowledged))
	p := openWithSpy(t, chromium, start(t, v, newFakeDoer()).URL)
	if n := ask[int](p, "window.tones.length + window.shakes.length"); n != 0 {
		t.Errorf("%d sounds before anybody allowed them", n)
	}
	p.do(chromedp.Click(chromedp.CSS(soundSwitch)))
	p.until("a high alarm is heard and felt", `window.tones.length === 3 && window.tones.at(-1) === 990 && window.shakes.length > 0`)
	<-v.subscribed
	for _, c := range []struct {
		p    alarm.Priority
		last string
	}{{alarm.Critical, "1400"}, {alarm.Medium, "660"}, {alarm.Low, "520"}} {
		s := alarmed(rules.DishBare, c.p, alarm.Unacknowledged)
		v.set(s)
		p.until(c.p.String()+" has a pattern of its own", `window.tones.at(-1) === `+c.last)
	}
	v.set(alarmed(rules.DishBare, alarm.High, alarm.Acknowledged))
	p.until("the acknowledged state is shown", `document.querySelector("[data-alarm=dish-bare]").dataset.state === "acknowledged"`)
	before := ask[int](p, `window.tones.length`)
	ask[bool](p, `window.ahead = 6000; true`) // a pattern of any priority but low would be due
	p.until("the page's clock went on", `!document.querySelector("[data-stale]").hidden`)
	if after := ask[int](p, `window.tones.length`); after != before {
		t.Errorf("an acknowledged alarm sounds: %d tones after %d", after, before)
	}
	p.mustBeClean()
}

func mutesAllButCritical(t *testing.T, chromium context.Context) {
	v := newFakeView(alarmed(rules.DishBare, alarm.High, alarm.Unacknowledged))
	p := openWithSpy(t, chromium, start(t, v, newFakeDoer()).URL)
	p.do(chromedp.Click(chromedp.CSS(soundSwitch)))
	p.until("it is heard", `window.tones.length === 3`)
	p.do(chromedp.Click(chromedp.CSS("[data-sound-mute]")))
	<-v.subscribed
	muted := alarmed(rules.TopUpDue, alarm.Medium, alarm.Unacknowledged)
	v.set(muted)
	p.until("another alarm is shown", `!document.querySelector("[data-alarm=top-up-due]").hidden`)
	if n := ask[int](p, `window.tones.length`); n != 3 {
		t.Errorf("%d tones while muted, want the 3 of before", n)
	}
	v.set(alarmed(rules.BoilingDry, alarm.Critical, alarm.Unacknowledged))
	p.until("a critical alarm is heard through the mute", `window.tones.at(-1) === 1400`)
	v.set(muted)
	p.until("it is muted again", `document.querySelector("[data-alarm=boiling-dry]").hidden`)
	ask[bool](p, `window.ahead = 121000; true`) // the mute ends after 120 s, and no data came meanwhile
	p.until("after two minutes it is heard again", `window.tones.at(-1) === 660 || window.tones.at(-1) === 600`)
}

func soundsWithoutData(t *testing.T, chromium context.Context) {
	v := newFakeView(holding("north"))
	p := openWithSpy(t, chromium, start(t, v, newFakeDoer()).URL)
	p.do(chromedp.Click(chromedp.CSS(soundSwitch)))
	<-v.subscribed
	// The page opens its stream again at once and may be back in an instant: what it
	// said meanwhile is kept here.
	ask[bool](p, `window.lost = []; {
		const note = document.querySelector("[data-stale]");
		new MutationObserver(() => note.hidden || window.lost.push({ text: note.textContent, size: parseFloat(getComputedStyle(note).fontSize) }))
			.observe(note, { attributes: true, childList: true, characterData: true, subtree: true });
	} true`)
	ask[bool](p, `window.ahead = 21000; true`)
	p.until("no data has a pattern of its own", `window.tones.length >= 2 && window.tones[0] === 1200 && window.tones[1] === 600`)
	p.until("the words are large", `window.lost.some((n) => /^No data for (2\d|[3-9]\d) s\. Look at the bath\./.test(n.text) && n.size >= 23)`)
	s := holding("north")
	s.At += time.Second
	v.set(s)
	p.until("data is back", `document.querySelector("[data-stale]").hidden`)
	before := ask[int](p, `window.tones.length`)
	ask[bool](p, `window.ahead += 4000; true`) // the pattern would be due after 3 s
	s.At += time.Second
	s.Celsius[0] = 90
	v.set(s)
	p.until("a newer state came", `document.querySelector("[data-word=oil]").textContent === "90.0\u00a0°C"`)
	if after := ask[int](p, `window.tones.length`); after != before {
		t.Errorf("it sounds on though data is back: %d tones after %d", after, before)
	}
}

func remembersTheSwitch(t *testing.T, chromium context.Context) {
	v := newFakeView(alarmed(rules.DishBare, alarm.High, alarm.Unacknowledged))
	p := openWithSpy(t, chromium, start(t, v, newFakeDoer()).URL)
	p.do(chromedp.Click(chromedp.CSS(soundSwitch)), chromedp.Reload())
	p.until("sound is on after a reload", `document.querySelector("[data-sound-switch]")?.textContent === "Sound off"`)
	p.do(chromedp.Click(chromedp.CSS("h1"))) // browsers want a touch of the new page
	p.until("it is heard", `window.tones.length >= 3`)
	p.do(chromedp.Click(chromedp.CSS(soundSwitch)), chromedp.Reload())
	p.until("off is remembered too", `document.querySelector("[data-sound-switch]")?.textContent === "Sound on"`)
}

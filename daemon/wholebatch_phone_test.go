package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// phone is the page of a bath in a real browser, as wide as a phone, and the person
// who holds it.
type phone struct {
	t       *testing.T
	ctx     context.Context
	kitchen *wholeKitchen

	mu         sync.Mutex
	complaints []string
	shots      int
}

// openPhone opens the page of the bath, or skips where there is no browser.
func openPhone(t *testing.T, k *wholeKitchen) *phone {
	t.Helper()
	p := &phone{t: t, ctx: openBrowser(t), kitchen: k}
	if err := chromedp.Listen(p.ctx, p.note); err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(k.address+"/bath/north"))
	return p
}

func (p *phone) note(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		p.complaints = append(p.complaints, fmt.Sprint(e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
	case *log.EventEntryAdded:
		p.complaints = append(p.complaints, e.Entry.Text)
	}
}

// do does steps of a finger. The page may draw a step anew between a look at it and
// the touch; then nothing was touched, and a person aims again.
func (p *phone) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 20*time.Second)
	defer cancel()
	err := chromedp.Do(ctx, steps...)
	for err != nil && strings.Contains(err.Error(), "Could not find node with given id") {
		err = chromedp.Do(ctx, steps...)
	}
	if err != nil {
		p.t.Fatalf("%v; the page shows %s", err, p.shown())
	}
}

func ask[T any](p *phone, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for a JavaScript condition: as long as a kitchen takes.
func (p *phone) until(what, condition string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.Poll[bool](condition, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(120*time.Second)))
	if err != nil {
		p.t.Fatalf("wait until %s: %v; the page shows %s", what, err, p.shown())
	}
}

const (
	now     = ".guide-now"
	nowText = `document.querySelector(".guide-now").innerText`
)

func (p *phone) shown() string {
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.querySelector(".guide")?.innerText ?? document.body.innerText`))
	if err != nil {
		return err.Error()
	}
	return text
}

// at waits until the page leads to a step. Nothing may stick out of the window, and
// a thumb must hit every button (WCAG 2.2, 2.5.5: 44 px).
func (p *phone) at(step string) {
	p.t.Helper()
	p.until("the page leads to "+step, fmt.Sprintf(`document.querySelector(%q) !== null`, now+`[data-step="`+step+`"]`))
	if wide := ask[int](p, "document.documentElement.scrollWidth"); wide > 390 {
		p.t.Errorf("at step %s the page is %d px wide in a window of 390 px", step, wide)
	}
	small := `[...document.querySelectorAll(".guide button, .guide a, .guide input:not([type=checkbox]):not([type=radio]), .guide select, .guide summary, .guide .check")].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 44).length`
	if n := ask[int](p, small); n > 0 {
		p.t.Errorf("at step %s %d things are too small for a finger", step, n)
	}
	p.shot(step)
}

// shot keeps a picture of the page at both widths in the folder that is named by
// BAINWARD_SHOTS, for whoever works on its looks.
func (p *phone) shot(name string) {
	p.t.Helper()
	dir := os.Getenv("BAINWARD_SHOTS")
	if dir == "" {
		return
	}
	p.shots++
	for _, width := range []int64{1280, 390} {
		p.do(chromedp.EmulateViewport(width, 844))
		png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		if err != nil {
			p.t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%02d-%s-%d.png", p.shots, name, width)), png, 0o600); err != nil {
			p.t.Fatal(err)
		}
	}
}

func (p *phone) mustRead(want string) {
	p.t.Helper()
	if text := ask[string](p, nowText); !strings.Contains(text, want) {
		p.t.Errorf("the step does not say %q:\n%s", want, text)
	}
}

// readsInTime waits until the step says something.
func (p *phone) readsInTime(want string) {
	p.t.Helper()
	p.until("the step says "+want, fmt.Sprintf(`%s.includes(%q)`, nowText, want))
}

func fieldNamed(name string) string { return now + ` [data-field="` + name + `"]` }

func (p *phone) mustOffer(name, want string) {
	p.t.Helper()
	if got := ask[string](p, fmt.Sprintf(`document.querySelector(%q).value`, fieldNamed(name))); got != want {
		p.t.Errorf("%s is offered as %q, want %q", name, got, want)
	}
}

// change taps a field and writes over what stands in it. Once it is tapped the page
// leaves it where it is.
func (p *phone) change(name, text string) {
	p.t.Helper()
	ask[bool](p, fmt.Sprintf(`(document.querySelector(%q).focus(), true)`, fieldNamed(name)))
	p.do(chromedp.Clear(chromedp.CSS(fieldNamed(name))), chromedp.SendKeys(chromedp.CSS(fieldNamed(name)), text))
}

// setDay picks a day; what keys a date field takes depends on the reader's country.
func (p *phone) setDay(name, day string) {
	p.t.Helper()
	p.do(chromedp.SetValue(chromedp.CSS(fieldNamed(name)), day))
}

func (p *phone) say(where, text string) {
	p.t.Helper()
	p.do(chromedp.SendKeys(chromedp.CSS(now+" "+where), text))
}

func (p *phone) choose(name, value string) {
	p.t.Helper()
	p.do(chromedp.Click(chromedp.CSS(fieldNamed(name) + ` input[value="` + value + `"]`)))
}

// tickAll ticks every item but one.
func (p *phone) tickAll(but string) {
	p.t.Helper()
	keys := ask[[]string](p, `[...document.querySelectorAll(".guide-now [data-kind=tick]")].map((e) => e.value)`)
	for _, key := range keys {
		if key != but {
			p.do(chromedp.Click(chromedp.CSS(now + ` [data-kind=tick][value="` + key + `"]`)))
		}
	}
}

func (p *phone) send() {
	p.t.Helper()
	p.do(chromedp.Click(chromedp.CSS(now + " .guide-send")))
	p.until("it is recorded", `!document.querySelector(".guide-now [data-answer].bad")`)
}

func (p *phone) goOn() {
	p.t.Helper()
	p.do(chromedp.Click(chromedp.CSS(now + " .guide-go")))
}

func (p *phone) mustBeClean() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range p.complaints {
		p.t.Errorf("the page complains: %s", c)
	}
}

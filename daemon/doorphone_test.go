package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// doorPhone is a browser of a phone's width that lets a self-made certificate in, as
// a person does who has compared its fingerprint.
type doorPhone struct {
	t          *testing.T
	ctx        context.Context
	mu         sync.Mutex
	complaints []string
}

func openDoorPhone(t *testing.T) *doorPhone {
	t.Helper()
	p := &doorPhone{t: t, ctx: openBrowser(t, chromedp.Flag("ignore-certificate-errors", true))}
	if err := chromedp.Listen(p.ctx, func(event any) {
		p.mu.Lock()
		defer p.mu.Unlock()
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			p.complaints = append(p.complaints, fmt.Sprint(e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
		case *log.EventEntryAdded:
			p.complaints = append(p.complaints, e.Entry.Text)
		}
	}); err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *doorPhone) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 20*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("%v; the page shows %s", err, p.ask("document.body.innerText"))
	}
}

// until waits for a JavaScript condition, over the change from one page to the next,
// at which it cannot be asked.
func (p *doorPhone) until(what, condition string) {
	p.t.Helper()
	for end := time.Now().Add(20 * time.Second); ; {
		if ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool]("!!("+condition+")")); err == nil && ok {
			return
		} else if time.Now().After(end) {
			p.t.Fatalf("wait until %s: %v; %s shows %s", what, err, p.ask("location.href"), p.ask("document.body.innerText"))
		}
		<-time.After(20 * time.Millisecond) // a browser: there is nothing to wait on
	}
}

func (p *doorPhone) ask(expression string) string {
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](expression))
	if err != nil {
		return err.Error()
	}
	return v
}

func (p *doorPhone) signIn(name, words string) {
	p.t.Helper()
	p.do(chromedp.SendKeys(chromedp.CSS("#door-name"), name), chromedp.SendKeys(chromedp.CSS("#door-password"), words),
		chromedp.Click(chromedp.CSS("form.door-form [type=submit]")))
}

// shoot keeps what is shown as a picture where SHOTS names a folder, for people.
func (p *doorPhone) shoot(name string) {
	p.t.Helper()
	dir := os.Getenv("SHOTS")
	if dir == "" {
		return
	}
	picture, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		p.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "door-"+name+".png"), picture, 0o600); err != nil {
		p.t.Fatal(err)
	}
}

// lockedBuffer is an output that one goroutine writes and another reads.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *lockedBuffer) Write(text []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(text)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

// teller writes on what it is told, and tells when it was told a text.
type teller struct {
	awaited
	to *lockedBuffer
}

func (w *teller) Write(b []byte) (int, error) {
	if n, err := w.to.Write(b); err != nil {
		return n, err
	}
	return w.awaited.Write(b)
}

package push

import (
	"context"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/serviceworker"
	"github.com/chromedp/chromedp"
)

// chromium starts a browser of its own, or skips where there is none.
func chromium(t *testing.T) context.Context {
	t.Helper()
	const path = "/usr/bin/chromium"
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("no browser to look with: %v", err)
		}
		t.Skipf("no browser to look with: %v", err)
	}
	ctx, end := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(path), chromedp.UserDataDir(t.TempDir()), chromedp.Headless, chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("host-resolver-rules", "MAP bath.test 127.0.0.1"),
	))
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start browser: %v", err)
	}
	return ctx
}

// tab is one open page of the house.
type tab struct {
	t     *testing.T
	ctx   context.Context
	house *house

	registered chan serviceworker.RegistrationID

	mu         sync.Mutex
	complaints []string
}

// openTab opens the page, in a browser that allows or denies it notifications
// ("granted", "denied"); "" leaves that as it is.
func openTab(t *testing.T, parent context.Context, h *house, leave browser.PermissionSetting, query string) *tab {
	t.Helper()
	ctx, end := chromedp.NewContext(parent)
	t.Cleanup(end)
	p := &tab{t: t, ctx: ctx, house: h, registered: make(chan serviceworker.RegistrationID, 16)}
	if err := chromedp.Listen(ctx, p.note); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	if leave != "" {
		p.allow(leave)
	}
	if _, err := chromedp.Call(ctx, serviceworker.Enable, cdp.Empty{}); err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.Navigate(h.URL + "/" + query))
	return p
}

func (p *tab) allow(leave browser.PermissionSetting) {
	p.t.Helper()
	if _, err := chromedp.CallBrowser(p.ctx, browser.SetPermission, browser.SetPermissionParams{
		Permission: &browser.PermissionDescriptor{Name: "notifications"}, Setting: leave, Origin: p.house.URL,
	}); err != nil {
		p.t.Fatal(err)
	}
}

func (p *tab) note(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		p.complaints = append(p.complaints, e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		p.complaints = append(p.complaints, e.Entry.Text)
	case *serviceworker.EventWorkerErrorReported:
		p.complaints = append(p.complaints, e.ErrorMessage.ErrorMessage)
	case *serviceworker.EventWorkerRegistrationUpdated:
		for _, r := range e.Registrations {
			if !r.IsDeleted && r.ScopeURL == p.house.URL+"/" {
				select {
				case p.registered <- r.RegistrationID:
				default: // it was told often enough
				}
			}
		}
	}
}

// mustBeClean fails if page or worker complained.
func (p *tab) mustBeClean() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range p.complaints {
		p.t.Errorf("the page complains: %s", c)
	}
}

func (p *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 20*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// until waits for a JavaScript condition, which may be a promise.
func (p *tab) until(what, condition string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.Poll[bool](condition, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(15*time.Second)))
	if err != nil {
		p.mustBeClean() // a complaint may be the cause
		p.t.Fatalf("wait until %s: %v", what, err)
	}
}

// says waits until the page says this of the phone.
func (p *tab) says(text string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.PollFunction[bool](
		`(text) => document.querySelector("[data-push-state]").textContent.includes(text)`,
		chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(15*time.Second), chromedp.WithPollingArgs(text)))
	if err != nil {
		p.t.Fatalf("the page says %q, want %q: %v", ask[string](p, state), text, err)
	}
}

const state = `document.querySelector("[data-push-state]").textContent`

// press presses a button once it may be pressed.
func (p *tab) press(button string) {
	p.t.Helper()
	p.until("the button "+button+" can be pressed", `!document.querySelector("`+button+`").disabled`)
	p.do(chromedp.Click(chromedp.CSS(button)))
}

// ask evaluates an expression, and waits for it if it is a promise.
func ask[T any](p *tab, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

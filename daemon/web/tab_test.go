package web

import (
	"context"
	"fmt"
	"maps"
	"net/url"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// browser starts a Chromium of its own, or skips where there is none. Contexts
// made from the one it returns are tabs.
func browser(t *testing.T) context.Context {
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
	))
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start browser: %v", err)
	}
	return ctx
}

// tab is one open page and what it asked for and complained of.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu         sync.Mutex
	hosts      map[string]bool
	complaints []string
}

func openTab(t *testing.T, browser context.Context, width int64, address string) *tab {
	t.Helper()
	ctx, end := chromedp.NewContext(browser)
	t.Cleanup(end)
	page := &tab{t: t, ctx: ctx, hosts: make(map[string]bool)}
	if err := chromedp.Listen(ctx, page.note); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	page.do(chromedp.EmulateViewport(width, 844), chromedp.Navigate(address))
	if address == "about:blank" {
		return page
	}
	page.until("the stream has opened", `document.documentElement.classList.contains("has-js")`)
	return page
}

func (p *tab) note(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if u, err := url.Parse(e.Request.URL); err == nil && u.Scheme != "data" { // the browser's own icons
			p.hosts[u.Hostname()] = true
		}
	case *runtime.EventExceptionThrown:
		p.complaints = append(p.complaints, fmt.Sprint(e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
	case *log.EventEntryAdded:
		p.complaints = append(p.complaints, e.Entry.Text)
	case *runtime.EventConsoleAPICalled:
		p.complaints = append(p.complaints, string(e.Type))
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

// until waits for a JavaScript condition.
func (p *tab) until(what, condition string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.Poll[bool](condition, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(15*time.Second)))
	if err != nil {
		p.t.Fatalf("wait until %s: %v", what, err)
	}
}

func ask[T any](p *tab, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// mustBeClean fails if the page complained, asked another host, or is wider
// than its window.
func (p *tab) mustBeClean() {
	p.t.Helper()
	// The browser's events wait for the lock, so nothing is asked under it.
	p.mu.Lock()
	complaints, hosts := slices.Clone(p.complaints), maps.Clone(p.hosts)
	p.mu.Unlock()
	for _, c := range complaints {
		p.t.Errorf("the page complains: %s", c)
	}
	if len(hosts) != 1 || !hosts["127.0.0.1"] {
		p.t.Errorf("the page asked %v, want only the daemon", hosts)
	}
	if wide, window := ask[int](p, "document.documentElement.scrollWidth"), ask[int](p, "window.innerWidth"); wide > window {
		p.t.Errorf("the page is %d px wide in a window of %d px", wide, window)
	}
}

// nextDeed returns what the Doer was asked for.
func nextDeed(t *testing.T, d *fakeDoer) string {
	t.Helper()
	select {
	case got := <-d.asked:
		return got
	case <-time.After(15 * time.Second):
		t.Fatal("the Doer was asked for nothing")
		return ""
	}
}

package main

import (
	"context"
	"os"
	"testing"

	"github.com/chromedp/chromedp"
)

// openBrowser starts a real browser, which ends with the test. Without one the test
// is skipped, and fails where everything must be tested (CI=true).
func openBrowser(t *testing.T, more ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	const path = "/usr/bin/chromium"
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("no browser to look with: %v", err)
		}
		t.Skipf("no browser to look with: %v", err)
	}
	ctx, end := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(append([]chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.UserDataDir(t.TempDir()), chromedp.Headless, chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
	}, more...)...))
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start browser: %v", err)
	}
	return ctx
}

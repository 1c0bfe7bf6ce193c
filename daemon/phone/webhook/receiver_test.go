package webhook

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
)

// pageReceiver runs the receiver that WEBHOOK.md shows, as it stands there, and
// returns its address and what it prints.
func pageReceiver(t *testing.T) (url string, prints *bufio.Scanner) {
	t.Helper()
	python, err := exec.LookPath("python3")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3 is missing (Debian: apt-get install python3)")
		}
		t.Skip("python3 is missing")
	}
	page, err := os.ReadFile("WEBHOOK.md")
	if err != nil {
		t.Fatal(err)
	}
	code := regexp.MustCompile("(?s)```python\n(.*?)```").FindSubmatch(page)
	if code == nil {
		t.Fatal("WEBHOOK.md shows no receiver any more")
	}
	dir := t.TempDir()
	script, keyFile := filepath.Join(dir, "receiver.py"), filepath.Join(dir, "key")
	for path, text := range map[string][]byte{script: code[1], keyFile: []byte(key + "\n")} {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.CommandContext(t.Context(), python, script, keyFile, "0")
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	prints = bufio.NewScanner(out)
	if !prints.Scan() {
		t.Fatalf("the receiver did not start: %v", prints.Err())
	}
	var port int
	if _, err := fmt.Sscanf(prints.Text(), "listening on port %d", &port); err != nil {
		t.Fatalf("the receiver said %q", prints.Text())
	}
	return fmt.Sprintf("http://127.0.0.1:%d", port), prints
}

// The receiver of WEBHOOK.md takes what is genuine, once, and refuses a forged
// body, a foreign key and an old delivery.
func TestTheReceiverOfThePageWorks(t *testing.T) {
	url, prints := pageReceiver(t)
	c := channel(t, url)
	c.now = time.Now
	for range 2 { // the second is a repetition, and welcome
		if answer, err := c.Send(t.Context(), dry); err != nil || answer != "200 OK" {
			t.Fatalf("got %q, %v", answer, err)
		}
	}
	refused := func(c *Channel, why string) {
		t.Helper()
		_, err := c.Send(t.Context(), notice.Notice{ID: why, Title: why})
		if f, ok := errors.AsType[*notice.Failure](err); !ok || !f.Final || !strings.Contains(err.Error(), "403") {
			t.Errorf("%s: got %v", why, err)
		}
	}
	old, foreign, forged := *c, *c, *c
	old.now = func() time.Time { return time.Now().Add(-6 * time.Minute) }
	foreign.key = notice.NewSecret(strings.Repeat("x", 32))
	forged.client = &http.Client{Transport: forger{}}
	refused(&old, "an old delivery")
	refused(&foreign, "another key")
	refused(&forged, "a forged body")

	last := dry
	last.ID, last.Kind, last.Title = "n-18", notice.Over, "north: it is over"
	if _, err := c.Send(t.Context(), last); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"raised | " + dry.Title + " | " + dry.Text, "over | north: it is over | " + dry.Text} {
		if !prints.Scan() || prints.Text() != want {
			t.Errorf("the receiver printed %q, not %q", prints.Text(), want)
		}
	}
}

// forger changes a delivery on its way.
type forger struct{}

func (forger) RoundTrip(r *http.Request) (*http.Response, error) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	r = r.Clone(r.Context())
	r.Body = io.NopCloser(bytes.NewReader(bytes.Replace(body, []byte("forged"), []byte("honest"), 1)))
	return http.DefaultTransport.RoundTrip(r)
}

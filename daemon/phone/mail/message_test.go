package mail

import (
	"bytes"
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"net/mail"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

func drawn(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 300, 100))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// writer is a channel that only composes.
func writer(t *testing.T) *Channel {
	t.Helper()
	c, err := New(Settings{Name: "m", Host: "h", From: `"Alder Yard, Øst" <yard@example.org>`, To: "robin@example.org", Picture: true})
	if err != nil {
		t.Fatal(err)
	}
	c.now = func() time.Time { return time.Date(2026, 3, 1, 9, 41, 12, 0, time.UTC) }
	return c
}

func compose(t *testing.T, n notice.Notice, picture []byte) *mail.Message {
	t.Helper()
	raw, err := writer(t).compose(n, picture)
	if err != nil {
		t.Fatal(err)
	}
	m, err := mail.ReadMessage(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The header says what the standards want of a mail that a machine wrote.
func TestTheHeaderSaysAMachineWroteIt(t *testing.T) {
	h := compose(t, dry, nil).Header
	from, err := h.AddressList("From")
	if err != nil || len(from) != 1 || from[0].Name != "Alder Yard, Øst" || from[0].Address != "yard@example.org" {
		t.Errorf("from %v, %v", from, err)
	}
	for field, want := range map[string]string{
		"To":             "<robin@example.org>",
		"Subject":        "=?utf-8?q?north:_the_pan_runs_dry_at_104_=C2=B0C?=",
		"Date":           "Sun, 01 Mar 2026 09:41:12 +0000", // RFC 5322 3.3
		"Message-ID":     "<n-17.bainward@example.org>",
		"Auto-Submitted": "auto-generated", // RFC 3834 5
		"Importance":     "high",
		"Priority":       "urgent",
		"Content-Type":   "text/plain; charset=utf-8",
	} {
		if got := h.Get(field); got != want {
			t.Errorf("%s: %q, not %q", field, got, want)
		}
	}
}

// An alarm that can wait is not marked urgent, and a quiet notice is marked low.
func TestImportanceFollowsThePriority(t *testing.T) {
	for _, c := range []struct {
		notice notice.Notice
		want   string
	}{
		{notice.Notice{Priority: alarm.Critical}, "high"},
		{notice.Notice{Priority: alarm.High, Kind: notice.Again}, "high"},
		{notice.Notice{Priority: alarm.Medium}, "normal"},
		{notice.Notice{Priority: alarm.Critical, Kind: notice.Over}, "normal"},
		{notice.Notice{Priority: alarm.Critical, Kind: notice.Proof}, "normal"},
		{notice.Notice{Priority: alarm.Critical, Quiet: true}, "low"},
	} {
		if got, _ := weight(c.notice); got != c.want {
			t.Errorf("%+v: %s, not %s", c.notice, got, c.want)
		}
	}
}

// Whatever stands in a notice, it adds no line to the header and none to the talk
// with the server.
func TestNoWordBecomesAHeader(t *testing.T) {
	for _, evil := range []string{
		"a\r\nBcc: sorrel@example.org", "a\nBcc: x@example.org\n\nbody", "a\rBcc: x", "a\u2028Bcc: x", "\x00\r\n.\r\nMAIL FROM:<x>",
		strings.Repeat("a\r\nBcc: x ", 100), "=?utf-8?q?=0D=0ABcc:_x?=", "> \r\n<", "",
	} {
		n := dry
		n.ID, n.Title, n.Text, n.Bath, n.Site, n.Link = evil, evil, evil, evil, evil, evil
		s := newServer(t)
		if _, err := s.channel(s.settings()).Send(t.Context(), n); err != nil {
			t.Fatalf("%q: %v", evil, err)
		}
		m, err := mail.ReadMessage(strings.NewReader(s.got()))
		if err != nil {
			t.Fatalf("%q: %v in %q", evil, err, s.got())
		}
		if len(m.Header) != 11 || m.Header.Get("Bcc") != "" {
			t.Errorf("%q makes the header %q", evil, m.Header)
		}
		if strings.Count(s.log(), "MAIL FROM:") != 1 {
			t.Errorf("%q makes the talk %q", evil, s.log())
		}
		for _, line := range strings.Split(s.got(), "\r\n") {
			if len(line) > 998 || strings.ContainsAny(line, "\r\n") { // RFC 5322 2.1.1
				t.Errorf("%q makes the line %q", evil, line)
			}
		}
	}
}

// Two tries of one notice are one mail to a mailbox, two notices are two.
func TestTheMessageIDIsTheNotices(t *testing.T) {
	odd, other := dry, dry
	odd.ID, other.ID = "a>b", "a>c"
	ids := map[string]bool{}
	for _, n := range []notice.Notice{dry, dry, odd, odd, other} {
		ids[writer(t).messageID(n)] = true
	}
	if len(ids) != 3 {
		t.Errorf("three notices, five tries: %v", ids)
	}
}

// The mail is understood by a reader that is not ours: Python's email package
// finds no defect, and the same subject, text and picture.
func TestAnotherReaderUnderstandsTheMail(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3 is missing (Debian: apt-get install python3)")
		}
		t.Skip("python3 is missing")
	}
	const script = `
import sys, json, email, email.policy
m = email.message_from_binary_file(sys.stdin.buffer, policy=email.policy.default)
defects = [str(d) for p in m.walk() for d in list(p.defects) + [e for h in p.values() for e in h.defects]]
text = m.get_body(("plain",)).get_content()
files = [[a.get_content_type(), a.get_filename(), a.get_content().hex()] for a in m.iter_attachments()]
print(json.dumps({"Defects": defects, "Subject": m["subject"], "From": m["from"].addresses[0].display_name,
  "Text": text, "Files": files}))`
	picture := drawn(t)
	s := newServer(t)
	settings := s.settings()
	settings.Picture, settings.From = true, `"Alder Yard, Øst" <yard@example.org>`
	n := dry
	n.Picture = func(context.Context) ([]byte, error) { return picture, nil }
	if _, err := s.channel(settings).Send(t.Context(), n); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), python, "-c", script)
	cmd.Stdin, cmd.Stderr = strings.NewReader(s.got()), os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, s.got())
	}
	var read struct {
		Defects             []string
		Subject, From, Text string
		Files               [][3]string
	}
	if err := json.Unmarshal(out, &read); err != nil {
		t.Fatal(err)
	}
	if len(read.Defects) != 0 || read.Subject != dry.Title || read.From != "Alder Yard, Øst" {
		t.Errorf("read %+v", read)
	}
	for _, words := range []string{
		"Turn the heat off. No cold water.\n.lonely dot", "Answer here: " + dry.Link,
		"Alder Yard, bath north, 2026-03-01 09:41:10 +0000",
	} {
		if !strings.Contains(read.Text, words) {
			t.Errorf("%q is not in %q", words, read.Text)
		}
	}
	if len(read.Files) != 1 || read.Files[0] != [3]string{"image/png", "trace.png", hex.EncodeToString(picture)} {
		t.Errorf("attached %v", read.Files)
	}
}

// The mail goes without the picture that could not be drawn.
func TestTheMailGoesWithoutItsPicture(t *testing.T) {
	s := newServer(t)
	settings := s.settings()
	settings.Picture = true
	n := dry
	n.Picture = func(context.Context) ([]byte, error) { return []byte("half"), errors.New("no trace") }
	if _, err := s.channel(settings).Send(t.Context(), n); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(s.got(), "No cold water") || strings.Contains(s.got(), "multipart") {
		t.Errorf("got %q", s.got())
	}
}

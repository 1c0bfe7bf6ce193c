package webhook

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// token and key are what no answer and no error may hold.
const (
	token = "t0psecret-9f2a"
	key   = "k3y-k3y-k3y-4d1c9be2"
)

var dry = notice.Notice{
	ID: "n-17", Call: "c-3", Contact: "robin", Channel: "yard-hook", Kind: notice.Raised, Site: "Alder Yard", Bath: "north",
	Alarm: "boiling-dry", Priority: alarm.Critical, Title: "north: the pan runs dry at 104 °C",
	Text: "Turn the heat off. No <cold> water.", Link: "https://yard.example/answer/17",
	Wall: time.Date(2026, 3, 1, 9, 41, 10, 0, time.UTC),
}

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// receiver is a far end on this machine that answers as it is told.
func receiver(t *testing.T, answer http.HandlerFunc) *httptest.Server {
	t.Helper()
	s := httptest.NewServer(answer)
	t.Cleanup(s.Close)
	return s
}

func channel(t *testing.T, host string) *Channel {
	t.Helper()
	c, err := New(Settings{
		Name: "yard-hook", URL: notice.NewSecret(host + "/hook/" + token + "?key=" + token), Key: notice.NewSecret(key), Picture: true,
	})
	if err != nil {
		t.Fatal(err)
	}
	c.now = func() time.Time { return noon }
	return c
}

// clean fails if something said holds a secret or a part of the address, or is too
// long for the record.
func clean(t *testing.T, said, host string) {
	t.Helper()
	_, host, _ = strings.Cut(host, "://")
	_, port, _ := strings.Cut(host, ":")
	for _, secret := range []string{token, key, host, port, "hook/", "127.0.0.1"} {
		if secret != "" && strings.Contains(said, secret) {
			t.Errorf("%q stands in %q", secret, said)
		}
	}
	if len(said) > 120 {
		t.Errorf("%d characters: %q", len(said), said)
	}
}

// A delivery is one signed POST of the whole notice.
func TestADeliveryIsOneSignedDocument(t *testing.T) {
	var got *http.Request
	var body []byte
	s := receiver(t, func(w http.ResponseWriter, r *http.Request) {
		got = r
		body, _ = io.ReadAll(r.Body)
		w.WriteHeader(http.StatusAccepted)
	})
	n := dry
	n.Picture = func(context.Context) ([]byte, error) { return []byte("\x89PNG"), nil }
	answer, err := channel(t, s.URL).Send(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	if answer != "202 Accepted" {
		t.Errorf("answer %q", answer)
	}
	if got.Method != http.MethodPost || got.URL.Query().Get("key") != token {
		t.Errorf("%s %s", got.Method, got.URL)
	}
	for field, want := range map[string]string{
		"Content-Type": "application/json", headerNotice: "n-17", headerTimestamp: "1772366400",
		headerSignature: sign([]byte(key), "1772366400", body),
	} {
		if g := got.Header.Get(field); g != want {
			t.Errorf("%s: %q, not %q", field, g, want)
		}
	}
	const want = `{"version":1,"id":"n-17","call":"c-3","kind":"raised","contact":"robin","channel":"yard-hook",
		"site":"Alder Yard","bath":"north","alarm":"boiling-dry","priority":"critical",
		"title":"north: the pan runs dry at 104 °C","text":"Turn the heat off. No <cold> water.",
		"link":"https://yard.example/answer/17","at":"2026-03-01T09:41:10Z","quiet":false,"picture":"iVBORw=="}`
	if !same(t, body, []byte(want)) {
		t.Errorf("posted %s", body)
	}
}

func same(t *testing.T, a, b []byte) bool {
	t.Helper()
	var x, y bytes.Buffer
	for buf, doc := range map[*bytes.Buffer][]byte{&x: a, &y: b} {
		var v any
		if err := json.Unmarshal(doc, &v); err != nil {
			t.Fatal(err)
		}
		if err := json.NewEncoder(buf).Encode(v); err != nil {
			t.Fatal(err)
		}
	}
	return x.String() == y.String()
}

// A receiver that does not answer holds up nobody beyond the context.
func TestASilentReceiverHoldsUpNobody(t *testing.T) {
	arrived, end := make(chan bool), make(chan bool)
	s := receiver(t, func(http.ResponseWriter, *http.Request) {
		arrived <- true
		<-end
	})
	defer close(end)
	ctx, cancel := context.WithCancel(t.Context())
	failed := make(chan error)
	go func() {
		_, err := channel(t, s.URL).Send(ctx, dry)
		failed <- err
	}()
	<-arrived
	cancel()
	err := <-failed // hangs here if Send does not honour its context
	if f, ok := errors.AsType[*notice.Failure](err); !ok || f.Final || !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	clean(t, err.Error(), s.URL)
}

// An answer without end is not waited for: its status is enough.
func TestAnEndlessAnswerIsNotRead(t *testing.T) {
	stopped := make(chan bool)
	s := receiver(t, func(w http.ResponseWriter, r *http.Request) {
		for r.Context().Err() == nil {
			_, _ = w.Write(make([]byte, 1<<16))
		}
		close(stopped)
	})
	answer, err := channel(t, s.URL).Send(t.Context(), dry)
	if err != nil || answer != "200 OK" {
		t.Errorf("got %q, %v", answer, err)
	}
	<-stopped // it noticed that nobody reads
}

// Wrong settings are found when the channel is made; the error names the channel
// and the remedy, neither address nor key.
func TestWrongSettingsAreFoundAtOnce(t *testing.T) {
	for said, s := range map[string]Settings{
		"has no address":             {},
		"no URL like":                {URL: notice.NewSecret("https://host:" + token)},
		"is no URL like https":       {URL: notice.NewSecret("ftp://" + token)},
		"copy it again":              {URL: notice.NewSecret(token)},
		"has 0 characters and needs": {URL: notice.NewSecret("https://" + token)},
		"openssl rand":               {URL: notice.NewSecret("https://" + token), Key: notice.NewSecret(key[:15])},
	} {
		s.Name = "yard-hook"
		_, err := New(s)
		if err == nil || !strings.Contains(err.Error(), said) || !strings.Contains(err.Error(), `"yard-hook"`) {
			t.Errorf("got %v, want %q", err, said)
			continue
		}
		if strings.Contains(err.Error(), token) || strings.Contains(err.Error(), key[:15]) {
			t.Errorf("a secret stands in %v", err)
		}
	}
}

// No word of a notice makes a header of its own, or stops the delivery.
func TestNoWordBecomesAHeader(t *testing.T) {
	s := receiver(t, func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("X-Evil") != "" {
			t.Errorf("header %q", r.Header)
		}
	})
	n := dry
	n.ID, n.Title = "1\r\nX-Evil: yes\x00é", "\r\nX-Evil: yes"
	if _, err := channel(t, s.URL).Send(t.Context(), n); err != nil {
		t.Error(err)
	}
}

// The document goes without the picture that could not be drawn.
func TestTheDocumentGoesWithoutItsPicture(t *testing.T) {
	var body []byte
	s := receiver(t, func(_ http.ResponseWriter, r *http.Request) { body, _ = io.ReadAll(r.Body) })
	n := dry
	n.Picture = func(context.Context) ([]byte, error) { return nil, errors.New("no trace") }
	if _, err := channel(t, s.URL).Send(t.Context(), n); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(body, []byte("picture")) || !bytes.Contains(body, []byte("boiling-dry")) {
		t.Errorf("posted %s", body)
	}
}

// WEBHOOK.md lists the document's fields, all of them and in their order.
func TestThePageListsEveryField(t *testing.T) {
	page, err := os.ReadFile("WEBHOOK.md")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := document(dry, []byte("png"))
	if err != nil {
		t.Fatal(err)
	}
	names := func(pattern string, text []byte) string {
		var all []string
		for _, m := range regexp.MustCompile(pattern).FindAllSubmatch(text, -1) {
			all = append(all, string(m[1]))
		}
		return strings.Join(all, " ")
	}
	listed, sent := names("(?m)^\\| `([a-z]+)` \\|", page), names(`"([a-z]+)":`, doc)
	if listed != sent || listed == "" {
		t.Errorf("the page lists %q, sent is %q", listed, sent)
	}
	for _, field := range []string{headerNotice, headerTimestamp, headerSignature} {
		if !bytes.Contains(page, []byte("| `"+field+"` |")) {
			t.Errorf("the page does not list %s", field)
		}
	}
}

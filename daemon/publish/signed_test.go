package publish

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const (
	ordersKey   = "a key of sixteen bytes or more"
	doNorth     = site + "/north/do"
	oneNonce    = "5f1c0e8a9b3d4c21"
	orderOfTest = "top-up 500 ml; note clear"
)

func keyFile(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "orders.key")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// makers lets Robin give orders, and nobody else.
func makers(who string) error {
	if who != "Robin" {
		return fmt.Errorf("%q may not", who)
	}
	return nil
}

// signedBy makes an order as the text of signed.go tells.
func signedBy(key, topic, head, order string) string {
	body := head + "\n" + order
	return hex.EncodeToString(macOf([]byte(key), topic, body)) + "\n" + body
}

func newTestSeals(t *testing.T, began time.Time) *seals {
	s := newSeals(keyFile(t, ordersKey+"\n"), makers)
	s.began = began
	return s
}

var orderTime = time.Date(2026, 3, 1, 9, 41, 10, 0, time.UTC)

func headAt(at time.Time) string { return at.Format(time.RFC3339) + " " + oneNonce + " Robin" }

// A signed order names who gave it, and its text is what the signature stood under.
func TestASignedOrderIsOpened(t *testing.T) {
	s := newTestSeals(t, orderTime.Add(-time.Hour))
	who, order, err := s.open(doNorth, signedBy(ordersKey, doNorth, headAt(orderTime), orderOfTest), orderTime.Add(2*time.Second))
	if err != nil || who != "Robin" || order != orderOfTest {
		t.Errorf("opened %q of %q, %v", order, who, err)
	}
}

// One that comes again, is old or ahead, was signed with another key, for another
// bath or by somebody who may not, or was changed on its way, is refused.
func TestOrdersThatAreNotFreshAndTrueAreRefused(t *testing.T) {
	began := orderTime.Add(-30 * time.Second)
	good := signedBy(ordersKey, doNorth, headAt(orderTime), orderOfTest)
	for why, c := range map[string]struct {
		payload string
		topic   string
		now     time.Time
		says    string
	}{
		"stale":               {good, doNorth, orderTime.Add(61 * time.Second), "signed 1m1s ago"},
		"ahead":               {good, doNorth, orderTime.Add(-61 * time.Second), "ahead of the clock"},
		"from before":         {signedBy(ordersKey, doNorth, headAt(began.Add(-time.Second)), orderOfTest), doNorth, orderTime, "before this daemon started"},
		"wrong key":           {signedBy(ordersKey+"!", doNorth, headAt(orderTime), orderOfTest), doNorth, orderTime, "does not fit"},
		"another bath":        {good, site + "/south/do", orderTime, "does not fit"},
		"changed":             {strings.Replace(good, "500", "900", 1), doNorth, orderTime, "does not fit"},
		"another name":        {strings.Replace(good, "Robin", "Sorrel", 1), doNorth, orderTime, "does not fit"},
		"who may not":         {signedBy(ordersKey, doNorth, strings.Replace(headAt(orderTime), "Robin", "Sorrel", 1), orderOfTest), doNorth, orderTime, `"Sorrel" may not`},
		"nobody":              {signedBy(ordersKey, doNorth, orderTime.Format(time.RFC3339)+" "+oneNonce+" ", orderOfTest), doNorth, orderTime, `"" may not`},
		"plain":               {orderOfTest, doNorth, orderTime, "not signed"},
		"half a signature":    {good[1:], doNorth, orderTime, "not signed"},
		"short nonce":         {signedBy(ordersKey, doNorth, orderTime.Format(time.RFC3339)+" 1 Robin", orderOfTest), doNorth, orderTime, `nonce "1"`},
		"no time":             {signedBy(ordersKey, doNorth, "now "+oneNonce+" Robin", orderOfTest), doNorth, orderTime, `time "now"`},
		"nothing but a mac":   {hex.EncodeToString(macOf([]byte(ordersKey), doNorth, "")) + "\n", doNorth, orderTime, "not signed"},
		"signed, and no name": {signedBy(ordersKey, doNorth, orderTime.Format(time.RFC3339)+" "+oneNonce, orderOfTest), doNorth, orderTime, "not signed"},
	} {
		s := newTestSeals(t, began)
		if who, order, err := s.open(c.topic, c.payload, c.now); err == nil || !strings.Contains(err.Error(), c.says) || who+order != "" {
			t.Errorf("%s: %q of %q, error %v; want one that says %q", why, order, who, err, c.says)
		}
	}
	s := newTestSeals(t, began)
	for i, want := range []bool{true, false, false} {
		if _, _, err := s.open(doNorth, good, orderTime.Add(time.Duration(i)*29*time.Second)); (err == nil) != want {
			t.Errorf("time %d: %v", i+1, err)
		}
	}
}

// Nonces are kept for as long as their orders could come again, and no longer.
func TestNoncesDoNotPileUp(t *testing.T) {
	s := newTestSeals(t, orderTime)
	now := orderTime
	for i := range 3 * noncesKept {
		now = now.Add(time.Second)
		head := fmt.Sprintf("%s %016d Robin", now.Format(time.RFC3339), i)
		if _, _, err := s.open(doNorth, signedBy(ordersKey, doNorth, head, orderOfTest), now); err != nil {
			t.Fatalf("order %d: %v", i, err)
		}
	}
	if len(s.used) > 62 {
		t.Errorf("%d nonces are kept, want those of a minute", len(s.used))
	}
}

// A key that is missing or short opens nothing, and is not repeated.
func TestAPoorKeyOpensNothing(t *testing.T) {
	for _, file := range []string{keyFile(t, "short\n"), filepath.Join(t.TempDir(), "none")} {
		s := newSeals(file, makers)
		_, _, err := s.open(doNorth, signedBy("short", doNorth, headAt(orderTime), orderOfTest), orderTime)
		if err == nil || strings.Contains(err.Error(), "holds short") {
			t.Errorf("%s: %v", file, err)
		}
	}
}

// The recipe of signed.go for a shell makes what is opened here: openssl signs, not
// this package.
func TestAShellCanSign(t *testing.T) {
	if _, err := exec.LookPath("openssl"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	const script = `body="$(date -u +%Y-%m-%dT%H:%M:%SZ) $(openssl rand -hex 16) Robin
top-up 500 ml; note clear"
mac=$(printf '%s\n%s' "$TOPIC" "$body" | openssl dgst -sha256 -hmac "$(cat "$KEYFILE")" -r | cut -d' ' -f1)
printf '%s\n%s' "$mac" "$body"`
	s := newTestSeals(t, time.Now().Add(-time.Minute))
	c := exec.Command("sh", "-c", script)
	c.Env = append(os.Environ(), "TOPIC="+doNorth, "KEYFILE="+s.keyFile)
	payload, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, payload)
	}
	who, order, err := s.open(doNorth, string(payload), time.Now())
	if err != nil || who != "Robin" || order != orderOfTest {
		t.Errorf("opened %q of %q, %v, from %q", order, who, err, payload)
	}
}

// Over a real broker: what is signed is carried out under the name of who signed it,
// once; what is not is answered with a refusal, and no answer repeats a signature.
func TestSignedOrdersOverABroker(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		done := make(chan Command, 4)
		p := publisher(t, address, func(o *Options) {
			o.AllowCommands, o.OrdersKeyFile, o.MayOrder = true, keyFile(t, ordersKey), makers
			o.OnCommand = func(_ context.Context, c Command) error { done <- c; return nil }
		})
		defer stop(t, p)
		p.seals.began = time.Now().Add(-time.Minute)
		e := listen(t, address)
		e.hear(t, "/status", "online")
		payload := signedBy(ordersKey, doNorth, headAt(time.Now().UTC()), "turn-down")
		e.say(t, doNorth, payload, false)
		if c := <-done; c.Who != "Robin" || c.Bath != "north" || c.Event.String() != "turn-down" {
			t.Errorf("carried out %+v", c)
		}
		if m := e.hear(t, "/north/answer", `"order":"turn-down"`); strings.Contains(string(m.Payload()), payload[:macText]) {
			t.Errorf("the answer repeats the signature: %s", m.Payload())
		}
		e.say(t, doNorth, payload, false)
		e.hear(t, "/north/answer", "it came before")
		e.say(t, doNorth, "turn-down", false)
		e.hear(t, "/north/answer", "not signed")
		if len(done) > 0 {
			t.Errorf("carried out too: %+v", <-done)
		}
	})
}

// FuzzOpenOrder sends what a stranger could: nothing is opened that was not signed.
func FuzzOpenOrder(f *testing.F) {
	f.Add(signedBy("another key, long enough", doNorth, headAt(orderTime), orderOfTest))
	f.Add(strings.Repeat("0", macText) + "\n\n\n")
	f.Add("")
	dir := f.TempDir()
	key := filepath.Join(dir, "key")
	if err := os.WriteFile(key, []byte(ordersKey), 0o600); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, payload string) {
		s := newSeals(key, func(string) error { return errors.New("no") })
		if who, order, err := s.open(doNorth, payload, orderTime); err == nil {
			t.Fatalf("%q opened %q of %q", payload, order, who)
		}
		_ = orderIn(payload)
	})
}

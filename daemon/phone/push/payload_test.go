package push

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	webpush "github.com/SherClockHolmes/webpush-go"
	"pgregory.net/rapid"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// Whatever the words are, what is sent fits, is JSON, and gives up the link only
// when neither text nor title is left.
func TestAnyNoticeFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := func(name string) string {
			return strings.Repeat(rapid.StringN(1, 8, -1).Draw(t, name), rapid.IntRange(0, 800).Draw(t, name+" times"))
		}
		n := raised()
		n.Title, n.Text, n.Link = words("title"), words("text"), words("link")
		data, err := encode(n, words("picture"))
		if err != nil {
			t.Fatal(err)
		}
		var p payload
		if err := json.Unmarshal(data, &p); err != nil || !utf8.Valid(data) {
			t.Fatalf("%v in %q", err, data)
		}
		if len(data) > 3993 { // RFC 8291, 4
			t.Errorf("%d octets", len(data))
		}
		if p.Link != n.Link && (p.Text != "" || p.Title != "") {
			t.Errorf("the link is gone, %q and %q stand", p.Title, p.Text)
		}
		if p.Text != n.Text && p.Text != "" && !(strings.HasSuffix(p.Text, "…") && len(data) > 3960) {
			t.Errorf("the text is cut without need or mark: %d octets", len(data))
		}
		if !strings.HasPrefix(n.Text, strings.TrimSuffix(p.Text, "…")) {
			t.Errorf("the text is another: %q", p.Text)
		}
	})
}

// A call's name that fills the whole message is an error, not an endless cut.
func TestWhatCannotFitIsAnError(t *testing.T) {
	n := raised()
	n.Call = strings.Repeat("c", 5000)
	if _, err := encode(n, ""); !errors.Is(err, errTooBig) {
		t.Errorf("the error is %v", err)
	}
}

// The longest message goes through: its body has the 4096 octets that every
// push service takes, and the phone reads it.
func TestTheLongestMessageGoesThrough(t *testing.T) {
	s, o := newService(t), openOffice(t)
	robin := signUp(t, o, s, "/w/abc", "")
	n := raised()
	n.Text = strings.Repeat("é", 5000)
	if _, err := o.Channel("page", "Robin").Send(t.Context(), n); err != nil {
		t.Fatal(err)
	}
	m := <-s.got
	if len(m.body) != 4096 { // RFC 8030, 7.2
		t.Errorf("the body has %d octets", len(m.body))
	}
	if got := robin.read(t, m); !strings.HasSuffix(got.Text, "é…") || got.Link != n.Link {
		t.Errorf("the phone reads %+v", got)
	}
}

// The size of a message tells nothing of its words: all bodies are equally long.
func TestTheSizeTellsNothing(t *testing.T) {
	s, o := newService(t), openOffice(t)
	signUp(t, o, s, "/w/abc", "")
	for _, text := range []string{"", "Top up now."} {
		n := raised()
		n.Text = text
		if _, err := o.Channel("page", "Robin").Send(t.Context(), n); err != nil {
			t.Fatal(err)
		}
		if m := <-s.got; len(m.body) != 4096 {
			t.Errorf("%q makes %d octets", text, len(m.body))
		}
	}
}

// Alarms are time-sensitive, and a proof goes the way they go; what wakes
// nobody spends no battery (RFC 8030, 5.3).
func TestUrgencyFollowsWhatIsSaid(t *testing.T) {
	for _, c := range []struct {
		kind     notice.Kind
		priority alarm.Priority
		quiet    bool
		want     webpush.Urgency
	}{
		{notice.Raised, alarm.Critical, false, "high"},
		{notice.Again, alarm.High, false, "high"},
		{notice.Raised, alarm.Medium, false, "high"},
		{notice.Raised, alarm.Low, false, "normal"},
		{notice.Raised, alarm.Critical, true, "low"},
		{notice.Over, alarm.Critical, false, "normal"},
		{notice.Proof, alarm.Low, false, "high"},
		{notice.Watcher, alarm.Low, false, "high"},
	} {
		if got := urgency(notice.Notice{Kind: c.kind, Priority: c.priority, Quiet: c.quiet}); got != c.want {
			t.Errorf("%s, %s, quiet %v: %s, want %s", c.kind, c.priority, c.quiet, got, c.want)
		}
	}
}

// A call has one topic, of the characters and length that RFC 8030, 5.4 allows;
// its end is kept at least as long as its alarm, or the alarm would come alone.
func TestANewerMessageOfACallTakesThePlaceOfAnOlder(t *testing.T) {
	a, b := topic("call-12"), topic("call-13")
	if a == b || len(a) != 32 || strings.Trim(a, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_") != "" {
		t.Errorf("topics %q and %q", a, b)
	}
	if topic("") != "" {
		t.Error("what belongs to no call replaces another")
	}
	if keepFor(notice.Over) < keepFor(notice.Raised) || keepFor(notice.Over) < keepFor(notice.Again) {
		t.Error("the end is dropped before its alarm")
	}
}

// Seconds and dates are read as RFC 9110, 10.2.3 has them; anything else is
// nothing, and nothing is longer than an hour.
func TestRetryAfterIsSecondsOrADate(t *testing.T) {
	now := time.Date(1999, 12, 31, 23, 59, 0, 0, time.UTC)
	for text, want := range map[string]time.Duration{
		"120": 2 * time.Minute, "Fri, 31 Dec 1999 23:59:59 GMT": 59 * time.Second, // both of RFC 9110, 10.2.3
		"": 0, "soon": 0, "-5": 0, "1.5": 0, "3600000": time.Hour, "99999999999999": 0,
		"Fri, 31 Dec 1998 23:59:59 GMT": 0, "Sat, 31 Dec 2050 23:59:59 GMT": time.Hour,
	} {
		if got := retryAfter(text, now); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

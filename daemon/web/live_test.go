package web

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bainward/sensors"
)

// listener is one open page's end of the stream.
type listener struct {
	t     *testing.T
	lines *bufio.Reader
	stop  context.CancelFunc
	body  io.Closer
}

func listen(t *testing.T, client *http.Client) *listener {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://bath/live", nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	if kind := answer.Header.Get("Content-Type"); answer.StatusCode != http.StatusOK || kind != "text/event-stream" {
		t.Fatalf("stream opens with %s, %s", answer.Status, kind)
	}
	return &listener{t, bufio.NewReader(answer.Body), stop, answer.Body}
}

func (l *listener) close() {
	l.stop()
	_ = l.body.Close() // nothing is left to lose
}

// line returns the next line that is not empty.
func (l *listener) line() string {
	l.t.Helper()
	for {
		line, err := l.lines.ReadString('\n')
		if err != nil {
			l.t.Fatalf("read stream: %v", err)
		}
		if line = strings.TrimSpace(line); line != "" {
			return line
		}
	}
}

// state returns the next state, passing over comments.
func (l *listener) state() siteAnswer {
	l.t.Helper()
	for {
		data, found := strings.CutPrefix(l.line(), "data: ")
		if !found {
			continue
		}
		var s siteAnswer
		if err := json.Unmarshal([]byte(data), &s); err != nil {
			l.t.Fatalf("state is no JSON: %v\n%s", err, data)
		}
		return s
	}
}

// siteAnswer is what the tests read of a state.
type siteAnswer struct {
	Site  string
	Baths []struct {
		Bath string
		OilC *float64 `json:"oil_c"`
		AgeS float64  `json:"age_s"`
	}
}

func TestAListenerHearsTheStateAtOnceAndAtEveryChange(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		v := newFakeView(holding("north"), base("south"))
		_, client := serve(t, newHandler(t, v, newFakeDoer()))
		l := listen(t, client)
		defer l.close()
		first := l.state()
		if first.Site != "Alder Yard" || len(first.Baths) != 2 || *first.Baths[0].OilC != 91.375 {
			t.Fatalf("first state is %+v", first)
		}
		s := holding("north")
		s.At += time.Second
		s.Celsius[sensors.Oil] = nan
		v.set(s, base("south"))
		if next := l.state(); next.Baths[0].OilC != nil {
			t.Errorf("a reading that is none came as %v, want null", *next.Baths[0].OilC)
		}
	})
}

func TestAQuietStreamBeatsAtLeastEveryFiveSeconds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, client := serve(t, newHandler(t, newFakeView(base("north")), newFakeDoer()))
		l := listen(t, client)
		defer l.close()
		l.state()
		last := time.Now()
		for range 5 {
			if line := l.line(); !strings.HasPrefix(line, ":") {
				t.Fatalf("%q, want a comment", line)
			}
			if quiet := time.Since(last); quiet > 5*time.Second {
				t.Errorf("quiet for %v", quiet)
			}
			last = time.Now()
		}
	})
}

func TestABathThatStandsStillGrowsOld(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		v := newFakeView(base("north"))
		_, client := serve(t, newHandler(t, v, newFakeDoer()))
		l := listen(t, client)
		defer l.close()
		if age := l.state().Baths[0].AgeS; age != 0 {
			t.Errorf("first age %v s", age)
		}
		for began := time.Now(); time.Since(began) < 30*time.Second; {
			l.line() // comments, which keep the stream open
		}
		v.set(base("north")) // a signal, but no newer frame
		if age := l.state().Baths[0].AgeS; age < 30 || age > 35 {
			t.Errorf("age %v s after 30 s without a frame", age)
		}
	})
}

func TestAListenerThatComesBackMissesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		v := newFakeView(base("north"))
		_, client := serve(t, newHandler(t, v, newFakeDoer()))
		l := listen(t, client)
		l.state()
		l.close()
		v.set(holding("north"))
		l = listen(t, client)
		defer l.close()
		if oil := l.state().Baths[0].OilC; *oil != 91.375 {
			t.Errorf("oil %v °C after coming back, want the newest", *oil)
		}
	})
}

// A client that opens the stream and never reads fills the pipe at once.
func TestASlowListenerHoldsNobodyUpAndIsLetGo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		v := newFakeView(base("north"))
		w, client := serve(t, newHandler(t, v, newFakeDoer()))
		slow, err := w.dial(t.Context(), "", "")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(slow, "GET /live HTTP/1.1\r\nHost: bath\r\n\r\n"); err != nil {
			t.Fatal(err)
		}
		if word := <-v.subscribed; word != "subscribed" {
			t.Fatal(word)
		}
		began := time.Now()
		l := listen(t, client)
		l.state()
		<-v.subscribed
		s := base("north")
		for i := range 20 {
			s.At += time.Second
			s.Celsius[sensors.Oil] = 20 + float64(i)
			v.set(s)
			if oil := l.state().Baths[0].OilC; *oil != s.Celsius[sensors.Oil] {
				t.Fatalf("the quick listener reads %v, want %v", *oil, s.Celsius[sensors.Oil])
			}
		}
		if took := time.Since(began); took > 20*time.Second {
			t.Errorf("20 states took %v", took)
		}
		l.close()
		words := []string{<-v.subscribed, <-v.subscribed}
		if words[0] != "cancelled" || words[1] != "cancelled" {
			t.Errorf("the streams ended with %v", words)
		}
		if took := time.Since(began); took > time.Minute {
			t.Errorf("the listener that never reads was let go after %v", took)
		}
		_ = slow.Close() // the server has closed its end
	})
}

func TestManyChangesMakeFewMessagesAndTheLastOneCounts(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		v := newFakeView(base("north"))
		_, client := serve(t, newHandler(t, v, newFakeDoer()))
		l := listen(t, client)
		defer l.close()
		l.state()
		s := base("north")
		for i := range 100 { // all in one instant
			s.At += time.Millisecond
			s.Celsius[sensors.Oil] = float64(i)
			v.set(s)
		}
		messages := 1
		for *l.state().Baths[0].OilC != 99 {
			messages++
		}
		if messages > 2 {
			t.Errorf("%d messages for one instant", messages)
		}
	})
}

func TestAStreamTooManyIsRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		v := newFakeView(base("north"))
		v.subscribed = make(chan string, 2*maxStreams+2)
		_, client := serve(t, newHandler(t, v, newFakeDoer()))
		var open []*listener
		for range maxStreams {
			open = append(open, listen(t, client))
		}
		answer, err := client.Get("http://bath/live")
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		if answer.StatusCode != http.StatusServiceUnavailable || answer.Header.Get("Retry-After") == "" {
			t.Errorf("one stream too many: %s", answer.Status)
		}
		for _, l := range open {
			l.close()
		}
	})
}

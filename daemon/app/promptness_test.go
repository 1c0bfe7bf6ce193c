package app

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/phone/webhook"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// stopwatch is a channel that tells the test when a send begins.
type stopwatch struct {
	name  string
	in    notice.Channel // nil: it arrives at once
	began chan<- start
}

type start struct {
	notice.Notice
	at time.Time
}

func (s *stopwatch) Name() string { return s.name }

func (s *stopwatch) Send(ctx context.Context, n notice.Notice) (string, error) {
	s.began <- start{n, time.Now()}
	if s.in != nil {
		return s.in.Send(ctx, n)
	}
	return "taken", nil
}

// dead is a channel that takes a notice and never comes back, whatever its
// context says.
type dead struct{ end <-chan struct{} }

func (dead) Name() string { return "dead" }

func (d dead) Send(context.Context, notice.Notice) (string, error) {
	<-d.end
	return "", context.Canceled
}

const (
	// apart is how many seconds lie between two alarms: more than the ten within
	// which a second notice to the same phone would wait for company.
	apart = 12
	// bathsInTurn boil dry one after the other, so that each is well for two
	// minutes before its next turn: longer than the alarm takes to return.
	bathsInTurn = 10
	// freshAfter is after how many turns a bath gets a fresh batch: sixteen
	// minutes, when no water is due yet.
	freshAfter = 8
)

// galley is a kitchen of many baths whose one contact is reached through four
// channels.
type galley struct {
	*kitchen
	stoves []stove
	began  chan start
	posted chan start
	handed map[int64]time.Time // when a poll was handed to the loop, by its offset in ms
	// arrived is when a notice's document was at the webhook's receiver, and
	// posts how long after the poll that was.
	arrived map[string]time.Time
	posts   []time.Duration
}

func newGalley(t *testing.T) *galley {
	g := &galley{began: make(chan start, 1000), posted: make(chan start, 1000), handed: map[int64]time.Time{}, arrived: map[string]time.Time{}}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		g.posted <- start{notice.Notice{ID: r.Header.Get("Bainward-Notice")}, time.Now()}
	}))
	t.Cleanup(server.Close)
	post, err := webhook.New(webhook.Settings{Name: "post", URL: notice.NewSecret(server.URL), Key: notice.NewSecret(strings.Repeat("k", 32))})
	if err != nil {
		t.Fatal(err)
	}
	end := make(chan struct{})
	t.Cleanup(func() { close(end) })
	site, stoves, err := workshop(bathsInTurn)
	if err != nil {
		t.Fatal(err)
	}
	g.stoves = stoves
	g.kitchen = newKitchenWith(t, func(o *Options) {
		o.Site = site
		o.Phones = func(string) (*Phones, error) {
			return &Phones{
				Plan: calls.Plan{Contacts: []calls.Contact{
					{Name: "Robin", Channels: []string{"dead", "phone", "post", "watch"}, Wait: 5 * time.Minute},
				}},
				Channels: []notice.Channel{
					dead{end}, &stopwatch{name: "phone", began: g.began},
					&stopwatch{name: "post", in: post, began: g.began}, &stopwatch{name: "watch", began: g.began},
				},
			}, nil
		}
	})
	return g
}

// second lets a second pass in which the bath numbered dry, if any, boils dry.
func (g *galley) second(dry int) {
	says := map[sensors.Address]sensors.Reading{}
	for i, s := range g.stoves {
		bath := 99.5
		if i == dry {
			bath = 106
		}
		says[s.oil], says[s.bath] = sensors.AtCelsius(92), sensors.AtCelsius(bath)
	}
	g.probes.says = says
	g.uptime += time.Second
	p := g.app.readAll(g.t.Context())
	g.handed[g.app.uptimeOffset().Milliseconds()] = time.Now()
	g.polls <- p
	g.settle()
}

// enter enters what the maker did at a bath.
func (g *galley) enter(stove, events string) {
	g.t.Helper()
	said, err := rules.ParseEvents(events)
	if err != nil {
		g.t.Fatal(err)
	}
	for _, e := range said {
		if err := g.app.Event(g.t.Context(), stove, e, "maker"); err != nil {
			g.t.Fatalf("%s: %v", e, err)
		}
	}
}

// boilsDry lets a bath boil dry, and the calm before the next one pass. It
// returns the sends that began.
func (g *galley) boilsDry(b int) []start {
	g.t.Helper()
	seconds := 0
	for ; g.app.baths[b].state.Alarms.State(rules.BoilingDry) != alarm.Unacknowledged; seconds++ {
		if seconds == apart {
			g.t.Fatalf("%s: no alarm within %d s of a dry pan", g.stoves[b].name, seconds)
		}
		g.second(b)
	}
	told := g.told(b)
	err := g.app.Alarm(g.t.Context(), g.stoves[b].name, alarm.Command{Alarm: rules.BoilingDry, Action: alarm.Acknowledge}, "Robin")
	if err != nil {
		g.t.Fatal(err)
	}
	for ; seconds < apart; seconds++ {
		g.second(-1)
	}
	return told
}

// told waits until the alarm of a bath has left for three channels and the
// webhook's receiver has it: an answer would cut off what is on its way.
func (g *galley) told(b int) (all []start) {
	g.t.Helper()
	posted := false
	late := time.After(10 * time.Second)
	for len(all) < 3 || !posted {
		select {
		case s := <-g.began:
			all = append(all, s)
		case s := <-g.posted:
			posted = true
			g.arrived[s.ID] = s.at
		case <-late:
			g.t.Fatalf("%s: 10 s after the alarm only %d of 3 channels were used, or the document has not arrived", g.stoves[b].name, len(all))
		}
	}
	return all
}

// A thousand pans boil dry, and of the four channels to Robin one hangs for
// ever. On the other three the message leaves while the poll that tripped the
// rule is hardly over: no alarm waits for another one, for a budget or for the
// channel that hangs. Everything is the daemon's own, its loop, its record on
// disk and a webhook over HTTP; only the seconds between polls are left out.
// Alarms come twelve seconds apart, each is answered before the next, and a
// fresh batch begins before the water is due, so that each is a message of its
// own under the plan that holds where a site says nothing.
func TestAlarmsLeaveAtOnceThoughAChannelHangs(t *testing.T) {
	alarms := 1000
	if testing.Short() {
		alarms = 100
	}
	g := newGalley(t)
	for _, s := range g.stoves {
		g.enter(s.name, "fill 1.85 kg; charge 220 g; light")
	}
	left := map[string][]time.Duration{}
	for i := range alarms {
		b := i % bathsInTurn
		for _, s := range g.boilsDry(b) {
			left[s.Channel] = append(left[s.Channel], g.since(s))
		}
		if i/bathsInTurn%freshAfter == freshAfter-1 {
			g.enter(g.stoves[b].name, "abandon; fill 1.85 kg; charge 220 g; light")
		}
	}
	var all []time.Duration
	for _, name := range []string{"phone", "post", "watch"} {
		if n := len(left[name]); n != alarms {
			t.Errorf("%s carried %d of %d alarms", name, n, alarms)
		}
		all = append(all, left[name]...)
	}
	t.Logf("%d alarms, 4 channels, 1 hangs: from the poll that trips the rule to the message leaving for a channel: %s", alarms, spread(all))
	t.Logf("from that poll to the document at the webhook's receiver, over HTTP: %s", spread(g.posts))
	// The aim is 50 ms, and 1.5 s with a second of sampling; a machine that is
	// busy with other tests may not fail this, a loop that waits for a channel must.
	if p99 := percentile(all, 99); p99 > 1500*time.Millisecond {
		t.Errorf("p99 is %s, want under 1.5 s", p99)
	}
}

// since is how long after the poll was handed over that opened its call a send
// began. A call's id and a notice's id tell the offset in ms (daemon/phone/calls).
func (g *galley) since(s start) time.Duration {
	g.t.Helper()
	at := s.Call[strings.LastIndexByte(s.Call, '/')+1:]
	ms, err := strconv.ParseInt(at, 10, 64)
	handed, known := g.handed[ms]
	if err != nil || !known || s.Kind != notice.Raised || s.Alarm != rules.BoilingDry.String() {
		g.t.Fatalf("a send that no poll explains: %+v, %v", s.Notice, err)
	}
	if s.ID != "n"+at && !strings.HasPrefix(s.ID, "n"+at+"-") {
		g.t.Errorf("call %s waited to be told by notice %s", s.Call, s.ID)
	}
	if at, ok := g.arrived[s.ID]; ok {
		g.posts = append(g.posts, at.Sub(handed))
	}
	return s.at.Sub(handed)
}

// percentile returns the value that p of 100 do not exceed (nearest rank).
func percentile(all []time.Duration, p int) time.Duration {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[(len(sorted)*p+99)/100-1]
}

func spread(all []time.Duration) string {
	return fmt.Sprintf("p50 %s, p99 %s, max %s of %d", percentile(all, 50), percentile(all, 99), percentile(all, 100), len(all))
}

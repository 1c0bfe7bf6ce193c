package app

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/alarm"
)

// mailbox is a channel into the test.
type mailbox struct {
	name  string
	mu    sync.Mutex
	fails error
	got   []notice.Notice
	more  chan struct{}
}

func newMailbox(name string) *mailbox { return &mailbox{name: name, more: make(chan struct{}, 1)} }

func (m *mailbox) Name() string { return m.name }

func (m *mailbox) Send(_ context.Context, n notice.Notice) (string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.fails != nil {
		return "", m.fails
	}
	m.got = append(m.got, n)
	select {
	case m.more <- struct{}{}:
	default:
	}
	return "taken", nil
}

func (m *mailbox) all() []notice.Notice {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.got)
}

func (m *mailbox) fail(err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.fails = err
}

// await waits for the first notice of a kind about an alarm; a bath in trouble
// raises several. An empty alarm is a matter of the site.
func (m *mailbox) await(t *testing.T, alarm string, kind notice.Kind) notice.Notice {
	t.Helper()
	late := time.After(10 * time.Second)
	for {
		if got := about(m.all(), alarm, kind); len(got) > 0 {
			return got[0]
		}
		select {
		case <-m.more:
		case <-late:
			t.Fatalf("%s got no notice %s of %q among %d", m.name, kind, alarm, len(m.all()))
		}
	}
}

// house is a kitchen whose alarms call Robin and, after five minutes, Sorrel.
type house struct {
	*kitchen
	robin, sorrel *mailbox
}

func newHouse(t *testing.T) *house {
	h := &house{robin: newMailbox("robin-phone"), sorrel: newMailbox("sorrel-phone")}
	links, err := link.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	h.kitchen = newKitchenWith(t, func(o *Options) {
		o.Phones = func(string) (*Phones, error) {
			return &Phones{
				Plan: calls.Plan{Contacts: []calls.Contact{
					{Name: "Robin", Channels: []string{"robin-phone"}, Wait: 5 * time.Minute},
					{Name: "Sorrel", Channels: []string{"sorrel-phone"}, Wait: 5 * time.Minute},
				}},
				Channels: []notice.Channel{h.robin, h.sorrel},
				Kinds:    map[string]string{"robin-phone": "mailbox", "sorrel-phone": "mailbox"},
				Links:    links, Address: "http://alder.example",
			}, nil
		}
	})
	return h
}

// boilsDry lets the pan of a bath that holds run dry.
func (h *house) boilsDry() {
	h.t.Helper()
	h.hold()
	h.runDry()
	if s := h.bath().Alarms.State(rules.BoilingDry); s != alarm.Unacknowledged {
		h.t.Fatalf("boiling-dry is %s", s)
	}
}

// runDry lets the pan's temperature climb, a kelvin a second.
func (h *house) runDry() {
	h.t.Helper()
	for c := 100.0; c <= 115; c++ {
		h.read(92, c)
		h.poll(time.Second)
	}
}

func (h *house) attempts(result string) int {
	h.t.Helper()
	n := 0
	for _, e := range h.entries() {
		var b record.Attempt
		if e.Kind == record.KindAttempt && e.Decode(&b) == nil && b.Result == result {
			n++
		}
	}
	return n
}

// about returns the notices about an alarm; a bath in trouble raises several.
func about(all []notice.Notice, alarm string, kinds ...notice.Kind) []notice.Notice {
	return slices.DeleteFunc(slices.Clone(all), func(n notice.Notice) bool {
		return n.Alarm != alarm || !slices.Contains(kinds, n.Kind)
	})
}

// A dry pan calls Robin at once and again; nobody answers, so Sorrel is called;
// Sorrel answers by the link, and nobody is called about it any more.
func TestADryPanCallsPeopleUntilSomebodyAnswersByTheLink(t *testing.T) {
	h := newHouse(t)
	h.boilsDry()
	first := h.robin.await(t, "boiling-dry", notice.Raised)
	if first.Alarm != "boiling-dry" || first.Bath != "north" || first.Priority != alarm.Critical || first.Quiet || first.Picture == nil {
		t.Errorf("Robin was told %+v", first)
	}
	if !strings.HasPrefix(first.Link, "http://alder.example/a/") {
		t.Errorf("the link is %q", first.Link)
	}
	if picture, err := first.Picture(t.Context()); err != nil || !strings.HasPrefix(string(picture), "\x89PNG") {
		t.Errorf("the picture is no PNG: %v", err)
	}
	if len(about(h.sorrel.all(), "boiling-dry", notice.Raised)) != 0 {
		t.Error("Sorrel was called at once")
	}
	h.pollFor(6 * time.Minute)
	toSorrel := h.sorrel.await(t, "boiling-dry", notice.Raised)
	if n := len(about(h.robin.all(), "boiling-dry", notice.Again)); n == 0 {
		t.Error("Robin was not called again in six minutes")
	}

	token := strings.TrimPrefix(toSorrel.Link, "http://alder.example/a/")
	q, err := h.app.LookUp(t.Context(), token)
	if err != nil || q.Bath != "north" || q.Alarm != "boiling-dry" || q.Contact != "Sorrel" || q.Advice == "" {
		t.Errorf("the link asks %+v, %v", q, err)
	}
	if s := h.bath().Alarms.State(rules.BoilingDry); s != alarm.Unacknowledged {
		t.Fatalf("looking at a link made the alarm %s", s)
	}
	a, err := h.app.Answer(t.Context(), token, "")
	if err != nil || !strings.Contains(a.Text, "Sorrel") {
		t.Fatalf("the answer gives %+v, %v", a, err)
	}
	if s := h.bath().Alarms.State(rules.BoilingDry); s != alarm.Acknowledged {
		t.Errorf("answered, the alarm is %s", s)
	}
	if _, err := h.app.Answer(t.Context(), token, ""); !errors.Is(err, web.ErrLinkOver) {
		t.Errorf("the link works twice: %v", err)
	}
	if _, err := h.app.LookUp(t.Context(), token+"A"); !errors.Is(err, web.ErrNoSuchLink) {
		t.Errorf("a link that was made up: %v", err)
	}
	before := len(about(h.robin.all(), "boiling-dry", notice.Raised, notice.Again))
	h.pollFor(20 * time.Minute)
	if n := len(about(h.robin.all(), "boiling-dry", notice.Raised, notice.Again)); n != before {
		t.Errorf("answered, Robin was called %d times more", n-before)
	}
	checkRefold(t, h.entries())
}

// Acknowledging on the page stops the calls as well, and the others hear who did.
func TestAcknowledgingOnThePageStopsTheCalls(t *testing.T) {
	h := newHouse(t)
	h.boilsDry()
	h.robin.await(t, "boiling-dry", notice.Raised)
	if err := h.app.Alarm(t.Context(), "north", alarm.Command{Alarm: rules.BoilingDry, Action: alarm.Acknowledge}, "Sorrel"); err != nil {
		t.Fatal(err)
	}
	h.pollFor(20 * time.Minute)
	over := about(h.robin.all(), "boiling-dry", notice.Over)
	if len(over) != 1 || !over[0].Quiet || !strings.Contains(over[0].Text, "Sorrel") {
		t.Errorf("Robin was told that it is over by %+v", over)
	}
	if n := len(about(h.robin.all(), "boiling-dry", notice.Again)); n != 0 {
		t.Errorf("Robin was called %d times more", n)
	}
}

// What is due is on disk before it leaves: while the disk is full nobody is
// called, and when it is mended everybody is.
func TestNobodyIsCalledBeforeTheRecordHasIt(t *testing.T) {
	h := newHouse(t)
	h.hold()
	mend := breakDisk(h.kitchen)
	h.runDry()
	if n := len(about(h.robin.all(), "boiling-dry", notice.Raised)); n != 0 {
		t.Errorf("%d notices left that are not in the record", n)
	}
	mend()
	for range 10 {
		h.poll(time.Second)
	}
	h.robin.await(t, "boiling-dry", notice.Raised)
}

// A message that could not be delivered is delivered by the daemon that starts
// next; one that was delivered is not sent again.
func TestWhatWasNotDeliveredIsDeliveredAfterARestart(t *testing.T) {
	h := newHouse(t)
	h.robin.fail(errors.New("the network is away"))
	h.boilsDry()
	for h.attempts(record.Failed) == 0 {
		h.poll(time.Second)
	}
	h.restart(5 * time.Second)
	h.robin.fail(nil)
	h.poll(time.Second)
	h.robin.await(t, "boiling-dry", notice.Raised)
	for h.attempts(record.Delivered) == 0 {
		h.poll(time.Second)
	}
	had := len(h.robin.all())
	h.restart(5 * time.Second)
	h.poll(time.Second)
	h.settle()
	if n := len(h.robin.all()); n != had {
		t.Errorf("after a restart Robin has %d notices, had %d", n, had)
	}
	if open := h.app.phones.book.Open(); len(open) == 0 {
		t.Error("the restart forgot the open call")
	}
	sent := h.robin.await(t, "boiling-dry", notice.Raised)
	if _, err := h.app.LookUp(t.Context(), strings.TrimPrefix(sent.Link, "http://alder.example/a/")); err != nil {
		t.Errorf("a link that was sent before the restart gives %v", err)
	}
}

// A test of the alarms tries every way, says what each answered, is recorded,
// and makes the site ready; a restart remembers it.
func TestATestOfTheAlarmsMakesTheSiteReady(t *testing.T) {
	h := newHouse(t)
	if ok, why := h.app.Ready(); ok || !strings.Contains(why, "no alarm channel has been proven") {
		t.Errorf("a new site is ready: %v, %s", ok, why)
	}
	h.sorrel.fail(&notice.Failure{Err: errors.New("no such mailbox"), Final: true})
	proofs, err := h.app.TestAlarm(t.Context(), "Robin")
	if err != nil {
		t.Fatal(err)
	}
	if len(proofs) != 2 || proofs[0].Failed() || proofs[0].Answer != "taken" || !proofs[1].Failed() || proofs[1].Answer != "no such mailbox" {
		t.Errorf("the proofs are %+v", proofs)
	}
	if got := h.robin.all(); len(got) != 1 || got[0].Kind != notice.Proof {
		t.Errorf("Robin got %+v", got)
	}
	ok, why := h.app.Ready()
	if !ok || !strings.Contains(why, "1 of 2") {
		t.Errorf("after the test: %v, %s", ok, why)
	}
	h.restart(time.Second)
	if again, _ := h.app.Ready(); !again {
		t.Error("a restart forgot the proof")
	}
	h.clock += 8 * 24 * time.Hour
	if late, _ := h.app.Ready(); late {
		t.Error("a proof of eight days ago counts")
	}
}

// A sibling whose daemon died is told to the people here, and that it is back.
func TestASiblingThatDiedIsTold(t *testing.T) {
	h := newHouse(t)
	h.app.siblings.peers = nil
	h.site.Siblings = []string{"Long Meadow"}
	h.app.gatherSiblings()
	h.app.Sibling("Long Meadow", "online")
	h.poll(time.Second)
	h.app.Sibling("Long Meadow", "offline")
	for range 45 {
		h.poll(time.Second)
	}
	n := h.robin.await(t, "", notice.Watcher)
	if n.Kind != notice.Watcher || !strings.Contains(n.Title, "Long Meadow") {
		t.Errorf("Robin was told %+v", n)
	}
	h.app.Sibling("Long Meadow", "online")
	for range 90 {
		h.poll(time.Second)
	}
	if over := h.robin.await(t, "", notice.Over); !strings.Contains(over.Title, "Long Meadow") {
		t.Errorf("then Robin was told %+v", over)
	}
}

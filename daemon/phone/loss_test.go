package phone_test

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules"
	"bainward/rules/alarm"
)

// town is a site with many baths, whose daemon is killed again and again. What it
// holds outlives the daemon: the record, the phones, the people.
type town struct {
	t    *testing.T
	plan *calls.Plan
	rand *rand.Rand // of the loop alone
	now  calls.Instant

	record  []recorded
	alarms  int                      // that are to be raised
	raised  int                      // so far
	fate    map[string]time.Duration // answered at this offset; by subject of the call
	open    map[string]string        // the open call about a subject
	since   map[string]time.Duration // when that was opened
	kills   int
	calmly  bool // the channels are mended, and nobody answers unheard
	counted struct{ sends, failures, again, late int }

	mu      sync.Mutex // guards what the wires touch
	ended   map[string]bool
	arrived map[string]int // by call
	ids     map[string]int // by notice
	chance  *rand.Rand
	tell    []string // calls that arrived since the last step
}

type recorded struct {
	at   time.Duration
	wall time.Time
	fact calls.Fact
}

// faulty is a channel that fails in every way there is.
type faulty struct {
	name string
	town *town
}

func (f *faulty) Name() string { return f.name }

func (f *faulty) Send(ctx context.Context, n notice.Notice) (string, error) {
	how, slow := f.town.begins(n)
	switch how {
	case "error":
		return "", errDown
	case "hang":
		return hang(ctx, n)
	case "busy":
		return "", &notice.Failure{Err: errors.New("429"), After: 3 * time.Second}
	case "slow":
		select {
		case <-time.After(slow):
		case <-ctx.Done():
			return "", ctx.Err()
		}
	}
	f.town.arrives(n)
	// The far end has it; its answer takes a moment, and a kill may cut it off.
	select {
	case <-time.After(50 * time.Millisecond):
		return "ok", nil
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

// begins checks that a notice that leaves is not of ended calls, and draws how
// it goes. The calls of a notice stand in its link, for this test.
func (w *town) begins(n notice.Notice) (how string, slow time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.counted.sends++
	if n.Kind != notice.Over && !slices.ContainsFunc(callsIn(n), func(id string) bool { return !w.ended[id] }) {
		w.counted.late++
		w.t.Errorf("notice %s (%s) left after the answer to its calls %v was recorded", n.ID, n.Kind, callsIn(n))
	}
	if w.calmly {
		return "well", 0
	}
	switch w.chance.IntN(16) {
	case 0, 1:
		how = "error"
	case 2:
		how = "hang"
	case 3:
		how = "busy"
	case 4, 5:
		return "slow", time.Duration(w.chance.Int64N(int64(6 * time.Second)))
	default:
		return "well", 0
	}
	w.counted.failures++
	return how, 0
}

func (w *town) arrives(n notice.Notice) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.ids[n.ID]++; w.ids[n.ID] > 1 {
		w.counted.again++
	}
	for _, id := range callsIn(n) {
		if n.Kind == notice.Over {
			continue
		}
		if w.arrived[id]++; w.arrived[id] == 1 {
			w.tell = append(w.tell, id)
		}
	}
}

// withCalls writes the calls of a notice where callsIn finds them.
func withCalls(n notice.Notice, ids []string) notice.Notice {
	n.Link = fmt.Sprint(ids)
	return n
}

func callsIn(n notice.Notice) []string { return strings.Fields(strings.Trim(n.Link, "[]")) }

// subjects is how many baths there are, each with its ten alarms.
const subjects = 400

// happens draws what changes at this second: alarms are raised; people who
// have heard of a call answer it after a while; a few answer unheard, having
// looked at the page; a few alarms go away.
func (w *town) happens() []calls.Happening {
	w.mu.Lock()
	heard := w.tell
	w.tell = nil
	w.mu.Unlock()
	for _, id := range heard {
		if about := calls.Subject(id); w.open[about] == id && w.fate[about] == 0 {
			w.fate[about] = w.now.At + time.Duration(1+w.rand.IntN(120))*time.Second
		}
	}
	var happened []calls.Happening
	for _, about := range slices.Sorted(maps.Keys(w.fate)) {
		if w.fate[about] <= w.now.At {
			happened = append(happened, w.answer(about))
		}
	}
	for range w.rand.IntN(3) {
		bath, id := fmt.Sprint("bath-", w.rand.IntN(subjects)), rules.ID(w.rand.IntN(int(rules.IDCount)))
		about := bath + "/" + id.String() + "/"
		if _, on := w.open[about]; on || w.raised >= w.alarms {
			continue
		}
		happened = append(happened, change(bath, id, alarm.Unacknowledged, ""))
		if w.rand.IntN(20) == 0 { // somebody looks at the page, having heard nothing
			w.fate[about] = w.now.At + time.Duration(1+w.rand.IntN(5))*time.Second
		}
	}
	return happened
}

func (w *town) answer(about string) calls.Happening {
	id := w.open[about]
	if w.rand.IntN(2) == 0 {
		return calls.Answered{Call: id, Who: "Robin", Via: "link"}
	}
	var bath, what string
	if _, err := fmt.Sscanf(strings.ReplaceAll(about, "/", " "), "%s %s", &bath, &what); err != nil {
		w.t.Fatal(err)
	}
	alarmID, _ := rules.ParseID(what)
	return change(bath, alarmID, alarm.Acknowledged, "Sorrel")
}

// live runs one daemon for so many seconds; then it is killed, at a random point
// of its last step.
func (w *town) live(seconds int) {
	wires := []notice.Channel{&faulty{"robin-phone", w}, &faulty{"robin-mail", w}, &faulty{"sorrel-phone", w}}
	d, err := phone.New(phone.Options{Channels: wires, Finish: withCalls, Timeout: 5 * time.Second, Capacity: 5000})
	if err != nil {
		w.t.Fatal(err)
	}
	ctx, kill := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() { d.Run(ctx); close(ended) }()
	defer func() { kill(); <-ended }()
	var book calls.Book
	for _, r := range w.record[w.lookBack():] {
		book.Take(r.at, r.wall, r.fact)
	}
	for _, waiting := range book.Waiting() {
		d.Hand(phone.Resumed(waiting, w.now.At))
	}
	last := w.rand.IntN(4)
	for second := range seconds {
		time.Sleep(time.Duration(900+w.rand.IntN(100)) * time.Millisecond)
		w.now.At += time.Second
		w.now.Wall = w.now.Wall.Add(time.Second)
		dying := 0
		if second == seconds-1 {
			dying = last
		}
		if !w.step(d, &book, dying, kill) {
			return
		}
	}
}

// lookBack finds where to begin folding: far enough back for everything that can
// still matter, which is the oldest open call and the budgets. (record.Calls goes
// back a week, which is long beside the hour that this town lives.)
func (w *town) lookBack() int {
	from := w.now.At - calls.Span
	for _, at := range w.since {
		from = min(from, at)
	}
	i, _ := slices.BinarySearchFunc(w.record, from, func(r recorded, at time.Duration) int { return cmp.Compare(r.at, at) })
	return i
}

var errKilled = errors.New("killed")

// step is one second of the daemon; it reports whether the daemon still lives.
// It dies before the commit (1), right after it (2), or when half of the notices
// are handed over (3).
func (w *town) step(d *phone.Desk, book *calls.Book, dying int, kill func()) bool {
	outcomes := d.Outcomes()
	happened := w.happens()
	for _, o := range outcomes {
		happened = append(happened, o)
	}
	next, facts := book.Step(w.plan, w.now, happened)
	err := d.Settle(endedBy(facts), func() error {
		if dying == 1 {
			kill()
			return errKilled
		}
		time.Sleep(20 * time.Millisecond) // the disk
		w.commit(facts)
		if dying == 2 {
			kill()
			return errKilled
		}
		return nil
	})
	if err != nil {
		return false
	}
	*book = next
	d.Kept(len(outcomes))
	for i, f := range facts {
		if dying == 3 && i > len(facts)/2 {
			kill()
			return false
		}
		if due, ok := f.(calls.Due); ok {
			d.Hand(phone.Errand{Due: due})
		}
	}
	return true
}

// commit puts the facts into the record.
func (w *town) commit(facts []calls.Fact) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, f := range facts {
		w.record = append(w.record, recorded{w.now.At, w.now.Wall, f})
		switch f := f.(type) {
		case calls.Opened:
			w.raised++
			w.open[calls.Subject(f.Call)] = f.Call
			w.since[calls.Subject(f.Call)] = w.now.At
		case calls.Ended:
			w.ended[f.Call] = true
			delete(w.open, calls.Subject(f.Call))
			delete(w.since, calls.Subject(f.Call))
			delete(w.fate, calls.Subject(f.Call))
		}
	}
}

// Ten thousand alarms, channels that fail, hang, refuse and are slow, and two
// hundred kills: every call arrives, unless somebody answered it unheard; and no
// notice leaves once the answer to its calls is in the record.
func TestNothingIsLostThroughKills(t *testing.T) {
	for _, c := range []struct {
		name          string
		plan          calls.Plan
		alarms, kills int
	}{
		{"as at home", calls.Plan{}, 2_000, 40},
		{"without budgets", calls.Plan{Most: 1 << 20, GroupWithin: time.Millisecond}, 10_000, 200},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				plan := c.plan
				plan.Site = "Alder Yard"
				plan.Contacts = []calls.Contact{
					{Name: "Robin", Channels: []string{"robin-phone", "robin-mail"}, Wait: time.Minute},
					{Name: "Sorrel", Channels: []string{"sorrel-phone"}, Wait: time.Minute},
				}
				surviveKills(t, &plan, c.alarms, c.kills)
			})
		})
	}
}

func surviveKills(t *testing.T, plan *calls.Plan, alarms, kills int) {
	w := &town{
		t: t, plan: plan, alarms: alarms, rand: rand.New(rand.NewPCG(1, 2)), chance: rand.New(rand.NewPCG(3, 4)),
		fate: map[string]time.Duration{}, open: map[string]string{}, since: map[string]time.Duration{},
		ended: map[string]bool{}, arrived: map[string]int{}, ids: map[string]int{},
		now: calls.Instant{At: time.Hour, Wall: time.Now(), Minute: 12 * 60},
	}
	for w.kills < kills || w.raised < w.alarms {
		w.live(1 + w.rand.IntN(100))
		w.kills++
	}
	w.calmly = true
	w.live(1800)
	unheard, lost := 0, 0
	for _, r := range w.record {
		o, ok := r.fact.(calls.Opened)
		switch {
		case !ok || w.arrived[o.Call] > 0:
		case w.ended[o.Call]:
			unheard++
		default:
			lost++
			t.Errorf("call %s was opened at %s and never arrived", o.Call, r.at)
		}
	}
	if len(w.open) > 0 {
		t.Errorf("%d calls are still open", len(w.open))
	}
	if unheard > w.alarms/10 {
		t.Errorf("%d calls were answered unheard, more than looked at the page", unheard)
	}
	c := w.counted
	t.Logf("%d alarms, %d kills: %d sends, %d of them failed; %d notices arrived, %d twice; %d calls arrived, %d were answered unheard, %d lost; %d sends after the answer",
		w.raised, w.kills, c.sends, c.failures, len(w.ids), c.again, len(w.arrived), unheard, lost, c.late)
}

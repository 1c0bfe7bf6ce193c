package phone_test

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// wire is a channel under test. does says how each send goes; nil: at once, and
// well.
type wire struct {
	name string
	does func(ctx context.Context, n notice.Notice) (string, error)

	mu      sync.Mutex
	began   []send
	arrived []send
}

type send struct {
	at time.Time
	notice.Notice
}

func (w *wire) Name() string { return w.name }

func (w *wire) Send(ctx context.Context, n notice.Notice) (string, error) {
	w.note(&w.began, n)
	w.mu.Lock()
	does := w.does
	w.mu.Unlock()
	if does != nil {
		if answer, err := does(ctx, n); err != nil {
			return answer, err
		}
	}
	w.note(&w.arrived, n)
	return "ok", nil
}

func (w *wire) note(into *[]send, n notice.Notice) {
	w.mu.Lock()
	defer w.mu.Unlock()
	*into = append(*into, send{time.Now(), n})
}

// fromNow says how each send goes from now on.
func (w *wire) fromNow(does func(context.Context, notice.Notice) (string, error)) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.does = does
}

// begun lists the sends that began.
func (w *wire) begun() []send {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(w.began)
}

// starts lists when sends of a notice began, counted from a beginning.
func (w *wire) starts(id string, since time.Time) []time.Duration {
	w.mu.Lock()
	defer w.mu.Unlock()
	var at []time.Duration
	for _, s := range w.began {
		if s.ID == id {
			at = append(at, s.at.Sub(since))
		}
	}
	return at
}

func (w *wire) ids() []string {
	w.mu.Lock()
	defer w.mu.Unlock()
	var ids []string
	for _, s := range w.arrived {
		ids = append(ids, s.ID)
	}
	return ids
}

// hang answers nothing until it is told to end.
func hang(ctx context.Context, _ notice.Notice) (string, error) {
	<-ctx.Done()
	return "", ctx.Err()
}

var errDown = errors.New("no route to host")

func down(context.Context, notice.Notice) (string, error) { return "", errDown }

// open runs a desk over these channels until the end of the test's bubble.
func open(t *testing.T, o phone.Options, wires ...*wire) *phone.Desk {
	t.Helper()
	for _, w := range wires {
		o.Channels = append(o.Channels, w)
	}
	d, err := phone.New(o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() { d.Run(ctx); close(ended) }()
	t.Cleanup(func() { stop(); <-ended })
	return d
}

// raised is an errand about one call, that of its own number.
func raised(id string, p alarm.Priority, channel string) phone.Errand {
	return phone.Errand{Due: calls.Due{
		Notice: notice.Notice{ID: id, Call: callOf(id), Contact: "Robin", Channel: channel, Kind: notice.Raised, Priority: p, Title: id, Text: id},
		Calls:  []string{callOf(id)},
	}}
}

func callOf(id string) string { return "north/dish-bare/" + id }

func quiet(e phone.Errand) phone.Errand { e.Quiet = true; return e }

// results lists what the desk reports of a notice, in order.
func results(d *phone.Desk, id string) []string {
	var all []string
	for _, t := range d.Outcomes() {
		if t.Notice == id {
			all = append(all, t.Result.String()+" "+strconv.Itoa(t.Try))
		}
	}
	return all
}

func wantResults(t *testing.T, d *phone.Desk, id string, want ...string) {
	t.Helper()
	if got := results(d, id); !slices.Equal(got, want) {
		t.Errorf("notice %s: %q, want %q; %+v", id, got, want, d.Outcomes())
	}
}

// pass lets time go by in the bubble.
func pass(d time.Duration) {
	time.Sleep(d)
	synctest.Wait()
}

package calls_test

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules"
	"bainward/rules/alarm"
)

// house is a book under test, with all that it has told.
type house struct {
	t      fataler
	plan   *calls.Plan
	book   calls.Book
	now    calls.Instant
	kept   []kept // the record
	sent   []sent
	states map[string]alarm.State
}

type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

// kept is a fact in the record.
type kept struct {
	at   time.Duration
	wall time.Time
	fact calls.Fact
}

// sent is a notice that became due.
type sent struct {
	at time.Duration
	calls.Due
}

var nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// The people of Alder Yard: Robin is called first and sleeps from ten to seven,
// Sorrel is next.
func yard() *calls.Plan {
	return &calls.Plan{
		Site: "Alder Yard",
		Contacts: []calls.Contact{
			{Name: "Robin", Channels: []string{"robin-phone"}, Wait: 5 * time.Minute, Quiet: calls.Quiet{From: 22 * 60, To: 7 * 60}},
			{Name: "Sorrel", Channels: []string{"sorrel-phone"}, Wait: 5 * time.Minute},
		},
	}
}

func newHouse(t fataler, p *calls.Plan) *house {
	return &house{t: t, plan: p, states: map[string]alarm.State{}, now: calls.Instant{At: time.Hour, Wall: nine, Minute: 9 * 60}}
}

// step takes what happened in, records the facts and returns what became due.
func (h *house) step(happened ...calls.Happening) []calls.Due {
	h.t.Helper()
	next, facts := h.book.Step(h.plan, h.now, happened)
	if len(facts) > 0 {
		again, same := h.book.Step(h.plan, h.now, happened)
		if !reflect.DeepEqual(next, again) || !reflect.DeepEqual(facts, same) {
			h.t.Fatalf("the same step went another way the second time: the first changed the book it began with")
		}
	}
	h.book = next
	var due []calls.Due
	for _, f := range facts {
		h.kept = append(h.kept, kept{h.now.At, h.now.Wall, f})
		if d, ok := f.(calls.Due); ok {
			due = append(due, d)
			h.sent = append(h.sent, sent{h.now.At, d})
		}
	}
	return due
}

// pass lets time go by, second by second, and returns what became due.
func (h *house) pass(d time.Duration) []calls.Due {
	h.t.Helper()
	var due []calls.Due
	for range d / time.Second {
		h.now.At += time.Second
		h.now.Wall = h.now.Wall.Add(time.Second)
		h.now.Minute = int(h.now.Wall.Sub(nine.Truncate(24*time.Hour))/time.Minute) % (24 * 60)
		due = append(due, h.step()...)
	}
	return due
}

// comes lets an alarm go to a state.
func (h *house) comes(bath string, id rules.ID, to alarm.State, by string) calls.Happening {
	name := bath + "/" + id.String()
	c := calls.Changed{Bath: bath, By: by, Change: alarm.Change{
		Alarm: id, From: h.states[name], To: to, Priority: alarm.Of(id).Priority,
		Finding: rules.Finding{Level: rules.Raised, A: 104.2, B: 99.6},
	}}
	h.states[name] = to
	return c
}

// refold folds the record anew.
func (h *house) refold() calls.Book {
	var b calls.Book
	for _, k := range h.kept {
		b.Take(k.at, k.wall, k.fact)
	}
	return b
}

// arrives reports that every notice under way was delivered.
func (h *house) arrives() {
	h.t.Helper()
	for _, w := range h.book.Waiting() {
		h.step(calls.Tried{Notice: w.ID, Try: w.Tries + 1, Result: calls.Delivered, Said: "ok"})
	}
}

// when lists the minutes after from at which a contact was told.
func when(all []sent, from time.Duration, contact string, kind notice.Kind) []int {
	var at []int
	for _, s := range all {
		if s.Contact == contact && s.Kind == kind {
			at = append(at, int((s.at-from)/time.Minute))
		}
	}
	return at
}

func wantMinutes(t *testing.T, what string, got, want []int) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s: told in minutes %v, want %v", what, got, want)
	}
}

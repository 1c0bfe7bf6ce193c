package calls_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules"
	"bainward/rules/alarm"
)

// anyHappening draws one of the things that can happen to the house: most are
// alarms going to and fro, some are people, some are news of the channels.
func anyHappening(h *house, baths int) *rapid.Generator[calls.Happening] {
	return rapid.Custom(func(t *rapid.T) calls.Happening {
		open, waiting := h.book.Open(), h.book.Waiting()
		switch n := rapid.IntRange(0, 9).Draw(t, "what"); {
		case n == 0 && len(open) > 0:
			return calls.Answered{Call: rapid.SampledFrom(open).Draw(t, "call").ID, Who: rapid.SampledFrom([]string{"Robin", "Sorrel", "a passer-by"}).Draw(t, "who")}
		case n == 1:
			return calls.Matter{
				Subject:  rapid.SampledFrom([]string{"sibling-barn", "restart"}).Draw(t, "subject"),
				Priority: alarm.Priority(rapid.IntRange(0, 3).Draw(t, "priority")), Fact: "it is odd", Do: "Go and look.",
				Over: rapid.Bool().Draw(t, "over"),
			}
		case n <= 3 && len(waiting) > 0:
			w := rapid.SampledFrom(waiting).Draw(t, "notice")
			return calls.Tried{Notice: w.ID, Try: w.Tries + 1, Result: calls.Result(rapid.IntRange(0, 3).Draw(t, "result"))}
		}
		bath := fmt.Sprintf("bath-%d", rapid.IntRange(1, baths).Draw(t, "bath"))
		id := rules.ID(rapid.IntRange(0, int(rules.IDCount)-1).Draw(t, "alarm"))
		to := rapid.SampledFrom([]alarm.State{
			alarm.Unacknowledged, alarm.Unacknowledged, alarm.Unacknowledged, alarm.Unacknowledged, alarm.ReturnedUnacknowledged,
			alarm.LatchedUnacknowledged, alarm.Acknowledged, alarm.Normal, alarm.Shelved, alarm.OutOfService, alarm.SuppressedByDesign,
		}).Draw(t, "state")
		return h.comes(bath, id, to, rapid.SampledFrom([]string{"", "Robin", "Sorrel"}).Draw(t, "by"))
	})
}

// A daemon killed at any point folds the record and is where it was: what it
// does next is what it would have done.
func TestTheRecordGivesTheBookBackAtAnyCut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := newHouse(rt, yard())
		for range rapid.IntRange(1, 60).Draw(rt, "steps") {
			h.now.At += time.Duration(rapid.IntRange(0, 240_000).Draw(rt, "ms")) * time.Millisecond
			h.now.Wall = nine.Add(h.now.At)
			h.now.Minute = rapid.IntRange(0, 1439).Draw(rt, "minute")
			h.step(rapid.SliceOfN(anyHappening(h, 2), 0, 4).Draw(rt, "happened")...)
			folded := h.refold()
			if !reflect.DeepEqual(folded, h.book) {
				rt.Fatalf("at %s the record gives\n%+v\nand the book is\n%+v", h.now.At, folded, h.book)
			}
			if rapid.IntRange(0, 4).Draw(rt, "restart") == 0 {
				h.book = folded
			}
		}
	})
}

// Whatever happens: a notice calls about open calls only, an ended call is told
// over at most once in each direction, and sizes and loudness are kept.
func TestWhatEveryNoticeKeepsTo(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := newHouse(rt, yard())
		over := map[string]bool{}
		ended := map[string]bool{}
		ids := map[string]bool{}
		for range rapid.IntRange(1, 60).Draw(rt, "steps") {
			h.now.At += time.Duration(rapid.IntRange(0, 120).Draw(rt, "seconds")) * time.Second
			h.now.Minute = rapid.IntRange(0, 1439).Draw(rt, "minute")
			before := len(h.kept)
			h.step(rapid.SliceOfN(anyHappening(h, 3), 0, 6).Draw(rt, "happened")...)
			for _, k := range h.kept[before:] {
				switch f := k.fact.(type) {
				case calls.Ended:
					ended[f.Call] = true
				case calls.Due:
					if ids[f.ID] || f.ID == "" || f.Call != f.Calls[0] || f.Wall.IsZero() || f.Site != "Alder Yard" {
						rt.Fatalf("odd notice %+v", f)
					}
					ids[f.ID] = true
					checkWords(rt, f)
					for _, id := range f.Calls {
						way := id + f.Contact + f.Channel
						if (f.Kind == notice.Over) != ended[id] || over[way] {
							rt.Fatalf("notice %+v, and call %s has ended: %v, told over: %v", f, id, ended[id], over[way])
						}
						over[way] = f.Kind == notice.Over
					}
					checkLoudness(rt, h, f)
				}
			}
		}
	})
}

func checkWords(t fataler, d calls.Due) {
	if n := utf8.RuneCountInString(d.Title); n == 0 || n > 40 {
		t.Errorf("title of %d characters: %q", n, d.Title)
	}
	if n := utf8.RuneCountInString(d.Text); n == 0 || n > 180 {
		t.Errorf("text of %d characters: %q", n, d.Text)
	}
}

// Low wakes nobody, ever; over wakes nobody; high and critical are never hushed;
// in Robin's quiet hours no low alarm is told at all.
func checkLoudness(t fataler, h *house, d calls.Due) {
	calling := d.Kind != notice.Over
	switch {
	case (!calling || d.Priority == alarm.Low) && !d.Quiet:
		t.Errorf("loud: %+v", d)
	case calling && d.Priority >= alarm.High && d.Quiet:
		t.Errorf("hushed: %+v", d)
	case calling && d.Priority == alarm.Low && d.Contact == "Robin" && h.plan.Contacts[0].Quiet.Holds(h.now.Minute):
		t.Errorf("told in quiet hours: %+v", d)
	}
}

// flood lets ten minutes and a half go by, in which alarms of some kinds change
// in bursts; see is shown the house after every second.
func flood(rt *rapid.T, h *house, ids []rules.ID, see func()) {
	const lasts = 630
	h.now.Minute = rapid.SampledFrom([]int{9 * 60, 23 * 60}).Draw(rt, "minute")
	var bursts [lasts]int
	for range rapid.IntRange(1, 8).Draw(rt, "bursts") {
		bursts[rapid.IntRange(0, lasts-1).Draw(rt, "second")] = rapid.IntRange(1, 50).Draw(rt, "size")
	}
	for _, size := range bursts {
		h.now.At += time.Second
		h.now.Wall = h.now.Wall.Add(time.Second)
		var happened []calls.Happening
		for range size {
			to := rapid.SampledFrom([]alarm.State{
				alarm.Unacknowledged, alarm.Unacknowledged, alarm.Unacknowledged, alarm.ReturnedUnacknowledged, alarm.Acknowledged,
			}).Draw(rt, "to")
			bath := fmt.Sprintf("bath-%d", rapid.IntRange(1, 60).Draw(rt, "bath"))
			happened = append(happened, h.comes(bath, rapid.SampledFrom(ids).Draw(rt, "alarm"), to, "Robin"))
		}
		h.step(happened...)
		see()
	}
}

// However many alarms come at once, each critical call is told to the first
// contact within GroupWithin, and no phone gets more than its budgets allow.
func TestAFloodReachesAndDrownsNobody(t *testing.T) {
	every := make([]rules.ID, 0, rules.IDCount)
	for id := range rules.IDCount {
		every = append(every, id)
	}
	rapid.Check(t, func(rt *rapid.T) {
		h := newHouse(rt, yard())
		told, seen := map[string]bool{}, 0
		flood(rt, h, every, func() {
			for ; seen < len(h.sent); seen++ {
				for _, id := range h.sent[seen].Calls {
					told[id] = told[id] || h.sent[seen].Contact == "Robin"
				}
			}
			for _, c := range h.book.Open() {
				if c.Priority == alarm.Critical && !told[c.ID] && h.now.At-c.At >= calls.DefaultGroupWithin {
					rt.Fatalf("critical call %s waits since %s, now it is %s", c.ID, c.At, h.now.At)
				}
			}
		})
		for _, contact := range []string{"Robin", "Sorrel"} {
			checkPace(rt, h, contact)
		}
	})
}

// checkPace counts, at each notice, those of the ten minutes that end with it:
// first words of critical calls are ten seconds apart, the rest is budgeted.
func checkPace(t fataler, h *house, contact string) {
	var first, rest []time.Duration
	for _, s := range h.sent {
		switch {
		case s.Contact != contact:
		case s.Kind == notice.Raised && s.Priority == alarm.Critical:
			first = within(append(first, s.at), s.at)
			if n := len(first); n > 1 && first[n-1]-first[n-2] < calls.DefaultGroupWithin {
				t.Errorf("%s heard of critical calls at %v", contact, first)
			}
		default:
			rest = within(append(rest, s.at), s.at)
			if len(rest) > 3*calls.DefaultMost {
				t.Errorf("%s got %d notices in the ten minutes before %s", contact, len(rest), s.at)
			}
		}
	}
}

// A flood of what is not grave: a phone gets no more than Most in any ten
// minutes, news of what is over included.
func TestAFloodOfLesserAlarmsKeepsToTheBudget(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := newHouse(rt, yard())
		flood(rt, h, []rules.ID{rules.TopUpDue, rules.ProbeSilent, rules.TooShort, rules.WarmBottling}, func() {})
		for _, contact := range []string{"Robin", "Sorrel"} {
			var at []time.Duration
			for _, s := range h.sent {
				if s.Contact != contact {
					continue
				}
				if at = within(append(at, s.at), s.at); len(at) > calls.DefaultMost {
					rt.Fatalf("%s got %d notices in the ten minutes before %s", contact, len(at), s.at)
				}
			}
		}
	})
}

func within(at []time.Duration, now time.Duration) []time.Duration {
	return slices.DeleteFunc(at, func(a time.Duration) bool { return now-a >= calls.Span })
}

// An alarm that chatters, a hundred times up and down in ten minutes, is told no
// oftener than the plan allows; a grave one stays one call.
func TestAChatteringAlarmIsDamped(t *testing.T) {
	for _, id := range []rules.ID{rules.WarmBottling, rules.TopUpDue, rules.DishBare, rules.BoilingDry} {
		t.Run(id.String(), func(t *testing.T) {
			h := newHouse(t, yard())
			gone := alarm.ReturnedUnacknowledged
			if alarm.Of(id).Latched {
				gone = alarm.LatchedUnacknowledged
			}
			ids := map[string]bool{}
			for range 100 {
				h.step(h.comes("north", id, alarm.Unacknowledged, ""))
				ids[h.book.Open()[0].ID] = true
				h.pass(3 * time.Second)
				h.step(h.comes("north", id, gone, ""))
				h.pass(3 * time.Second)
			}
			count := map[string]int{}
			for _, s := range h.sent {
				count[s.Contact]++
			}
			if count["Robin"] == 0 || count["Robin"] > calls.DefaultMost || count["Sorrel"] > calls.DefaultMost {
				t.Errorf("told %v times, want at most %d", count, calls.DefaultMost)
			}
			if grave := alarm.Of(id).Priority >= alarm.High; grave != (len(ids) == 1) {
				t.Errorf("%d calls", len(ids))
			}
			t.Logf("told %v times in %d calls", count, len(ids))
		})
	}
}

// Beyond the budget, what waits is gathered and leaves as one.
func TestWhatIsHeldBackLeavesTogether(t *testing.T) {
	h := newHouse(t, yard())
	for i := range 40 {
		h.step(h.comes(fmt.Sprintf("bath-%d", i), rules.TopUpDue, alarm.Unacknowledged, ""))
		h.pass(11 * time.Second)
	}
	if n := len(h.sent); n > 2*calls.DefaultMost {
		t.Errorf("%d notices", n)
	}
	told := map[string]bool{}
	for range 2 {
		h.pass(5 * time.Minute)
		for _, s := range h.sent {
			for _, id := range s.Calls {
				told[id+s.Contact] = true
			}
		}
	}
	if len(told) != 80 {
		t.Errorf("%d tellings of 40 calls to two people, want 80", len(told))
	}
}

package calls_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules"
	"bainward/rules/alarm"
)

// A critical alarm that nobody answers is told at once, again every three
// minutes, and to the next contact after five, for ever.
func TestACriticalCallGoesOnUntilAnswered(t *testing.T) {
	h := newHouse(t, yard())
	start := h.now.At
	h.step(h.comes("north", rules.BoilingDry, alarm.Unacknowledged, ""))
	h.pass(14 * time.Minute)
	wantMinutes(t, "Robin first", when(h.sent, start, "Robin", notice.Raised), []int{0})
	wantMinutes(t, "Robin again", when(h.sent, start, "Robin", notice.Again), []int{3, 6, 9, 12})
	wantMinutes(t, "Sorrel first", when(h.sent, start, "Sorrel", notice.Raised), []int{5})
	wantMinutes(t, "Sorrel again", when(h.sent, start, "Sorrel", notice.Again), []int{8, 11, 14})
	h.pass(10 * time.Hour)
	if n := len(h.pass(6 * time.Minute)); n != 4 {
		t.Errorf("after ten hours %d notices in six minutes, want 4", n)
	}
}

// Who answers ends the call: the others who were told hear that, quietly, and
// nobody ever hears more of it.
func TestAnAnswerEndsTheCall(t *testing.T) {
	h := newHouse(t, yard())
	h.step(h.comes("north", rules.BoilingDry, alarm.Unacknowledged, ""))
	h.pass(6 * time.Minute)
	due := h.step(h.comes("north", rules.BoilingDry, alarm.Acknowledged, "Robin"))
	due = append(due, h.pass(time.Hour)...)
	if len(due) != 1 || due[0].Contact != "Sorrel" || due[0].Kind != notice.Over || !due[0].Quiet || !strings.Contains(due[0].Text, "answered by Robin") && !strings.Contains(due[0].Text, "Answered by Robin") {
		t.Errorf("after the answer: %+v", due)
	}
	if len(h.book.Open()) != 0 {
		t.Errorf("still open: %+v", h.book.Open())
	}
}

// A tap on a link answers once, however often it is made.
func TestASecondTapDoesNothing(t *testing.T) {
	h := newHouse(t, yard())
	h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, ""))
	tap := calls.Answered{Call: h.book.Open()[0].ID, Who: "Robin", Via: "link"}
	h.step(tap)
	before := len(h.kept)
	h.step(tap)
	h.step(h.comes("north", rules.DishBare, alarm.Acknowledged, "Robin"))
	if len(h.kept) != before {
		t.Errorf("%d facts followed from a second tap", len(h.kept)-before)
	}
}

// A medium alarm is told four times, at double the pause, and asks one more.
func TestAMediumCallGivesUpAfterFourTellings(t *testing.T) {
	p := yard()
	p.Contacts = append(p.Contacts, calls.Contact{Name: "Tansy", Channels: []string{"tansy"}, Wait: time.Minute})
	h := newHouse(t, p)
	start := h.now.At
	h.step(h.comes("north", rules.TopUpDue, alarm.Unacknowledged, ""))
	h.pass(3 * time.Hour)
	wantMinutes(t, "Robin", when(h.sent, start, "Robin", notice.Again), []int{6, 12, 18})
	wantMinutes(t, "Sorrel first", when(h.sent, start, "Sorrel", notice.Raised), []int{5})
	wantMinutes(t, "Sorrel again", when(h.sent, start, "Sorrel", notice.Again), []int{11, 17, 23})
	wantMinutes(t, "Tansy", when(h.sent, start, "Tansy", notice.Raised), nil)
}

// A low alarm is told once, quietly, to the first, and waits for the morning.
func TestALowCallWaitsForTheMorning(t *testing.T) {
	h := newHouse(t, yard())
	h.now.Wall = nine.Add(14 * time.Hour) // 23:00
	h.pass(time.Second)
	h.step(h.comes("north", rules.WarmBottling, alarm.Unacknowledged, ""))
	if due := h.pass(7*time.Hour + 58*time.Minute); len(due) != 0 {
		t.Errorf("told in quiet hours: %+v", due)
	}
	due := h.pass(5 * time.Hour)
	if len(due) != 1 || due[0].Contact != "Robin" || !due[0].Quiet || due[0].Kind != notice.Raised {
		t.Errorf("in the morning: %+v", due)
	}
}

// In quiet hours medium is shown without a sound, and high and critical are as
// loud as ever; a contact without quiet hours hears medium.
func TestQuietHoursHushWhatIsNotGrave(t *testing.T) {
	h := newHouse(t, yard())
	h.now.Wall = nine.Add(15 * time.Hour) // midnight
	h.pass(time.Second)
	for _, id := range []rules.ID{rules.TopUpDue, rules.DishBare, rules.BoilingDry} {
		if due := h.step(h.comes("north", id, alarm.Unacknowledged, "")); len(due) != 1 || due[0].Contact != "Robin" {
			t.Errorf("%s: told at once: %+v", id, due)
		}
		h.pass(20 * time.Minute)
		for _, s := range h.sent {
			if quiet := s.Priority == alarm.Medium && s.Contact == "Robin"; s.Quiet != quiet {
				t.Errorf("%s for %s is quiet: %v, want %v", s.Title, s.Contact, s.Quiet, quiet)
			}
		}
		h.step(h.comes("north", id, alarm.Acknowledged, "Robin"))
		h.pass(20 * time.Minute)
		h.sent = nil
	}
}

// A grave alarm that goes away by itself goes on calling, and says so; a lesser
// one ends, and those who were told hear it.
func TestWhatGoesAwayByItself(t *testing.T) {
	for _, c := range []struct {
		id   rules.ID
		gone alarm.State
		on   bool
	}{
		{rules.BoilingDry, alarm.LatchedUnacknowledged, true},
		{rules.DishBare, alarm.ReturnedUnacknowledged, true},
		{rules.TopUpDue, alarm.ReturnedUnacknowledged, false},
		{rules.WarmBottling, alarm.ReturnedUnacknowledged, false},
	} {
		t.Run(c.id.String(), func(t *testing.T) {
			h := newHouse(t, yard())
			h.step(h.comes("north", c.id, alarm.Unacknowledged, ""))
			id := h.book.Open()[0].ID
			h.pass(time.Minute)
			due := h.step(h.comes("north", c.id, c.gone, ""))
			if !c.on {
				if len(due) != 1 || due[0].Kind != notice.Over || !strings.Contains(due[0].Text, "by itself") || len(h.book.Open()) != 0 {
					t.Errorf("it ended with %+v", due)
				}
				return
			}
			h.pass(119 * time.Second)
			h.now.At += time.Second
			due = h.step(calls.Standing{Bath: "north", Alarm: c.id, State: c.gone})
			if len(due) != 1 || due[0].Kind != notice.Again || !strings.Contains(due[0].Text, "by itself") {
				t.Errorf("it went on with %+v", due)
			}
			// It comes again: the same call goes on.
			if due := h.step(h.comes("north", c.id, alarm.Unacknowledged, "")); len(due) != 0 || h.book.Open()[0].ID != id {
				t.Errorf("it became call %s of %s, with %+v", h.book.Open()[0].ID, id, due)
			}
		})
	}
}

// Whatever a person does to an alarm that silences it ends its call; so does a
// new batch.
func TestHowACallEnds(t *testing.T) {
	for _, c := range []struct {
		to  alarm.State
		by  string
		how calls.How
	}{
		{alarm.Acknowledged, "Sorrel", calls.Acknowledged},
		{alarm.LatchedAcknowledged, "Sorrel", calls.Acknowledged},
		{alarm.Normal, "Sorrel", calls.Acknowledged},
		{alarm.Shelved, "Sorrel", calls.Shelved},
		{alarm.OutOfService, "Sorrel", calls.OutOfService},
		{alarm.SuppressedByDesign, "", calls.Suppressed},
		{alarm.Normal, "", calls.Cleared},
	} {
		h := newHouse(t, yard())
		h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, ""))
		id := h.book.Open()[0].ID
		h.step(h.comes("north", rules.DishBare, c.to, c.by))
		want := calls.Ended{Call: id, How: c.how, Who: c.by}
		found := false
		for _, k := range h.kept {
			found = found || k.fact == calls.Fact(want)
		}
		if !found || len(h.book.Open()) != 0 {
			t.Errorf("%s by %q: no %+v", c.to, c.by, want)
		}
		for _, d := range h.pass(time.Hour) {
			if d.Kind != notice.Over {
				t.Errorf("%s: told once more: %+v", c.to, d)
			}
		}
	}
}

// Whoever cannot be reached is not waited for: the next is called at once.
func TestNobodyWaitsForADeadChannel(t *testing.T) {
	p := yard()
	p.Contacts[0].Channels = []string{"robin-phone", "robin-mail"}
	h := newHouse(t, p)
	due := h.step(h.comes("north", rules.BoilingDry, alarm.Unacknowledged, ""))
	if len(due) != 2 {
		t.Fatalf("Robin is told through %d channels, want 2", len(due))
	}
	if more := h.step(calls.Tried{Notice: due[0].ID, Try: 1, Result: calls.Failed, Next: time.Second}); len(more) != 0 {
		t.Errorf("mail may still arrive, yet %+v", more)
	}
	more := h.step(calls.Tried{Notice: due[1].ID, Try: 1, Result: calls.GaveUp})
	if len(more) != 1 || more[0].Contact != "Sorrel" {
		t.Errorf("Robin is out of reach, and due is %+v", more)
	}
}

// A site's matter is called like an alarm, under the name of the site.
func TestAMatterIsCalled(t *testing.T) {
	h := newHouse(t, yard())
	died := calls.Matter{Subject: "sibling-barn", Priority: alarm.High, Fact: "barn does not answer", Do: "Look after its baths."}
	due := append(h.step(died), h.step(died)...)
	if len(due) != 1 || due[0].Kind != notice.Watcher || due[0].Title != "barn does not answer" || due[0].Bath != "" || due[0].Alarm != "" {
		t.Fatalf("told %+v", due)
	}
	if due := h.pass(3 * time.Minute); len(due) != 1 || due[0].Kind != notice.Again {
		t.Errorf("told again %+v", due)
	}
	died.Over = true
	due = h.step(died)
	due = append(due, h.pass(time.Minute)...)
	if len(due) != 1 || due[0].Kind != notice.Over || len(h.book.Open()) != 0 {
		t.Errorf("over with %+v", due)
	}
}

// A contact is passed by what is beneath them, and the next is the first.
func TestLesserCallsPassAContactBy(t *testing.T) {
	p := yard()
	p.Contacts[0].Least = alarm.High
	h := newHouse(t, p)
	if due := h.step(h.comes("north", rules.TopUpDue, alarm.Unacknowledged, "")); len(due) != 1 || due[0].Contact != "Sorrel" {
		t.Errorf("told %+v", due)
	}
}

// Telling how everything stands, as after a restart, opens what is missing and
// touches nothing else.
func TestTellingHowAlarmsStandHealsTheBook(t *testing.T) {
	h := newHouse(t, yard())
	h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, ""), h.comes("south", rules.DishBare, alarm.Unacknowledged, ""))
	id := h.book.Open()[0].ID
	h.pass(time.Minute)
	h.step(
		h.comes("north", rules.DishBare, alarm.Unacknowledged, ""),
		h.comes("south", rules.DishBare, alarm.Normal, ""),
		h.comes("east", rules.Overheating, alarm.LatchedUnacknowledged, ""),
		h.comes("east", rules.TopUpDue, alarm.ReturnedUnacknowledged, ""))
	open := h.book.Open()
	if len(open) != 2 || open[0].ID != id || open[1].Bath != "east" || open[1].What != "overheating" {
		t.Errorf("open: %+v", open)
	}
}

// Two occurrences at one instant are two calls, and their notices differ.
func TestNoNameIsGivenTwice(t *testing.T) {
	h := newHouse(t, yard())
	seen := map[string]bool{}
	for range 4 {
		h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, ""))
		id := h.book.Open()[0].ID
		if seen[id] {
			t.Errorf("call %s came twice", id)
		}
		seen[id] = true
		h.step(h.comes("north", rules.DishBare, alarm.Shelved, "Robin"))
	}
	for _, s := range h.sent {
		if seen[s.ID] {
			t.Errorf("notice %s came twice", s.ID)
		}
		seen[s.ID] = true
	}
}

// After a restart only what has not arrived is handed over again, in its newest
// words and for the calls that are still open.
func TestWhatHasArrivedIsNotHandedOverAgain(t *testing.T) {
	h := newHouse(t, yard())
	h.step(h.comes("north", rules.BoilingDry, alarm.Unacknowledged, ""))
	h.arrives()
	if w := h.book.Waiting(); len(w) != 0 {
		t.Errorf("it arrived, and %+v waits", w)
	}
	h.pass(3 * time.Minute)
	h.step(h.comes("south", rules.DishBare, alarm.Unacknowledged, ""))
	h.pass(3 * time.Minute) // Robin: again, for both; Sorrel: for the first time
	again := h.book.Waiting()
	if len(again) != 3 {
		t.Fatalf("%d notices wait, want Robin's and Sorrel's for north, and Robin's for south: %+v", len(again), again)
	}
	sorrels := again[slices.IndexFunc(again, func(w calls.Waiting) bool { return w.Contact == "Sorrel" })].ID
	h.step(calls.Tried{Notice: sorrels, Try: 1, Result: calls.Failed, Next: 2 * time.Second})
	h.step(h.comes("south", rules.DishBare, alarm.Acknowledged, "Sorrel"))
	h.book = h.refold()
	tried := false
	for _, w := range h.book.Waiting() {
		if len(w.Calls) != 1 || w.Kind != notice.Over && !strings.HasPrefix(w.Calls[0], "north/") {
			t.Errorf("handed over again: %+v", w)
		}
		tried = tried || w.ID == sorrels && w.Tries == 1 && w.Since < h.now.At
	}
	if !tried {
		t.Errorf("the tries of %s are forgotten: %+v", sorrels, h.book.Waiting())
	}
}

// A critical alarm does not wait for a lesser notice that has just gone to the
// same phone; one as grave waits for no more than GroupWithin.
func TestTheGraverDoesNotWaitForTheLesser(t *testing.T) {
	h := newHouse(t, yard())
	h.step(h.comes("north", rules.TopUpDue, alarm.Unacknowledged, ""))
	h.pass(time.Second)
	if due := h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, "")); len(due) != 1 {
		t.Errorf("a high alarm a second after a medium one: %+v", due)
	}
	h.pass(time.Second)
	if due := h.step(h.comes("north", rules.BoilingDry, alarm.Unacknowledged, "")); len(due) != 1 {
		t.Errorf("a critical alarm a second after a high one: %+v", due)
	}
	h.pass(time.Second)
	h.step(h.comes("south", rules.BoilingDry, alarm.Unacknowledged, ""), h.comes("south", rules.TopUpDue, alarm.Unacknowledged, ""))
	if due := h.pass(8 * time.Second); len(due) != 0 {
		t.Errorf("it did not wait to be joined: %+v", due)
	}
	if due := h.pass(time.Second); len(due) != 1 || len(due[0].Calls) != 2 {
		t.Errorf("after ten seconds: %+v", due)
	}
}

// News that one occurrence is over, held back until the next has begun, is not
// told any more: it would be taken for news of that.
func TestStaleNewsOfAnEndIsDropped(t *testing.T) {
	h := newHouse(t, yard())
	for range 3 { // use up the budget of such news
		h.step(h.comes("north", rules.TopUpDue, alarm.Unacknowledged, ""))
		h.pass(11 * time.Second)
		h.step(h.comes("north", rules.TopUpDue, alarm.ReturnedUnacknowledged, ""))
		h.pass(11 * time.Second)
	}
	first := h.sent[len(h.sent)-1]
	h.step(h.comes("north", rules.TopUpDue, alarm.Unacknowledged, ""))
	for _, w := range h.book.Waiting() {
		if w.Kind == notice.Over {
			t.Errorf("still on its way: %+v", w)
		}
	}
	for _, d := range h.pass(30 * time.Minute) {
		if d.Kind == notice.Over {
			t.Errorf("while it calls, it is told that it is over: %+v", d)
		}
	}
	if first.Kind == notice.Over {
		t.Errorf("the budget was not used up: %+v", first)
	}
}

// A notice that was given up or withdrawn is not on its way any more.
func TestWhatWasGivenUpIsNotOnItsWay(t *testing.T) {
	for _, r := range []calls.Result{calls.Delivered, calls.GaveUp, calls.Withdrawn} {
		h := newHouse(t, yard())
		due := h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, ""))
		h.step(calls.Tried{Notice: due[0].ID, Try: 1, Result: calls.Failed})
		if n := len(h.book.Waiting()); n != 2 {
			t.Errorf("%d notices wait after a failed try, want Robin's and Sorrel's", n)
		}
		h.step(calls.Tried{Notice: due[0].ID, Try: 2, Result: r})
		for _, w := range h.book.Waiting() {
			if w.ID == due[0].ID {
				t.Errorf("%s, and it is still on its way", r)
			}
		}
	}
}

// A book is a value: what one draft does to it, another does not see.
func TestTwoDraftsOfOneBookKnowNothingOfEachOther(t *testing.T) {
	h := newHouse(t, yard())
	h.step(h.comes("north", rules.DishBare, alarm.Unacknowledged, ""))
	h.pass(7 * time.Minute)
	h.now.At += time.Second
	draft := func(bath string) (calls.Book, []calls.Fact) {
		return h.book.Step(h.plan, h.now, []calls.Happening{h.comes(bath, rules.BoilingDry, alarm.Unacknowledged, ""), h.comes("north", rules.DishBare, alarm.Acknowledged, bath)})
	}
	kept, facts := draft("east")
	draft("west")
	want := h.refold()
	for _, f := range facts {
		want.Take(h.now.At, h.now.Wall, f)
	}
	if !reflect.DeepEqual(kept, want) {
		t.Errorf("the first draft became\n%+v\nwant\n%+v", kept, want)
	}
}

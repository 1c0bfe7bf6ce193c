package tally_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/tally"
)

// clerk tells a ledger a story, a second at a time, by a real book of alarms.
type clerk struct {
	t      tester
	ledger tally.Ledger
	books  map[string]*alarm.Book
	found  map[string]*rules.Findings
	at     time.Duration
}

type tester interface {
	Helper()
	Fatal(...any)
}

var began = time.Date(2026, 11, 30, 22, 0, 0, 0, time.UTC)

func newClerk(t tester) *clerk {
	c := &clerk{t: t, books: map[string]*alarm.Book{}, found: map[string]*rules.Findings{}}
	for _, bath := range []string{"north", "south"} {
		c.books[bath], c.found[bath] = &alarm.Book{}, &rules.Findings{}
	}
	c.ledger.Restart(0, began)
	return c
}

func (c *clerk) wall() time.Time { return began.Add(c.at) }

func (c *clerk) tell(bath string, out *alarm.Changes) {
	for _, ch := range out.All() {
		c.ledger.Change(bath, c.at, c.wall(), ch)
	}
}

// passes lets the rules say what they say for so long.
func (c *clerk) passes(d time.Duration) {
	for range d / time.Second {
		c.at += time.Second
		c.ledger.Seen(c.at, c.wall())
		for _, bath := range []string{"north", "south"} {
			var out alarm.Changes
			c.books[bath].Step(c.at, c.found[bath], nil, &out)
			c.tell(bath, &out)
		}
	}
}

func (c *clerk) says(bath string, id rules.ID, level rules.Level, d time.Duration) {
	c.found[bath][id].Level = level
	c.passes(d)
}

// asks lets a person act; what is refused does not come into a record.
func (c *clerk) asks(bath string, id rules.ID, a alarm.Action) error {
	order := alarm.Command{Alarm: id, Action: a, For: 10 * time.Minute, Reason: "the kettle is on"}
	var out alarm.Changes
	if err := c.books[bath].Do(c.at, order, &out); err != nil {
		return err
	}
	c.ledger.Command(bath, c.at, order)
	c.tell(bath, &out)
	return nil
}

func (c *clerk) does(bath string, id rules.ID, a alarm.Action) {
	c.t.Helper()
	if err := c.asks(bath, id, a); err != nil {
		c.t.Fatal(err)
	}
}

func (c *clerk) opens(bath string) {
	c.ledger.Batch(bath, c.at, true)
	var out alarm.Changes
	c.books[bath].Clear(c.at, &out)
	c.tell(bath, &out)
}

func (c *clerk) figures(bath string) tally.Figures {
	return tally.Of(c.ledger.Annunciations(bath), c.ledger.Watch(bath, tally.Month{}))
}

// A call, its answer after 90 s, its end; a second one that comes and goes
// unheard, and comes again.
func TestCallsAndAnswersAreTakenFromTheRecord(t *testing.T) {
	c := newClerk(t)
	c.opens("north")
	c.says("north", rules.DishBare, rules.Raised, 21*s) // 20 s of on-delay and the first reading
	c.passes(90 * s)
	c.does("north", rules.DishBare, alarm.Acknowledge)
	c.says("north", rules.DishBare, rules.Clear, m)
	for range 2 {
		c.says("north", rules.DishBare, rules.Raised, m)
		c.says("north", rules.DishBare, rules.Clear, m)
	}
	all := c.ledger.Annunciations("")
	if len(all) != 3 {
		t.Fatalf("%d annunciations, want 3: %+v", len(all), all)
	}
	first := tally.Annunciation{
		Bath: "north", Alarm: rules.DishBare, Priority: alarm.High, Raised: 21 * s, Wall: began.Add(21 * s),
		Answered: at(111 * s), Ended: at(142 * s), Ending: tally.Cleared, // 30 s of off-delay and the first reading
	}
	if all[0] != first {
		t.Errorf("got %+v, want %+v", all[0], first)
	}
	if !all[1].Lost || all[1].Calls() || all[2].Lost || !all[2].Calls() {
		t.Errorf("the second is lost, the third still calls: %+v", all[1:])
	}
	f := c.figures("north")
	if f.AnswerMax != 90*s || f.Answered != 1 || f.Unanswered != 2 || f.Calling != 1 || len(f.Standing) != 0 {
		t.Errorf("got %+v", f)
	}
	if f := c.figures("south"); f.Count != 0 {
		t.Errorf("south called %d times", f.Count)
	}
}

// Who shelves an alarm, or takes it out of service, has heard it.
func TestPuttingAwayIsAnAnswer(t *testing.T) {
	for _, a := range []alarm.Action{alarm.Shelve, alarm.PutOutOfService} {
		c := newClerk(t)
		c.says("north", rules.DishBare, rules.Raised, m)
		c.does("north", rules.DishBare, a)
		got := c.ledger.Annunciations("")[0]
		if got.Answered != at(m) || got.Ended != at(m) || got.Ending != tally.PutAway || got.Lost {
			t.Errorf("%s: %+v", a, got)
		}
	}
}

// A new batch forgets a call that nobody answered; one whose cause stood though
// it was acknowledged did not clear.
func TestANewBatchForgets(t *testing.T) {
	c := newClerk(t)
	c.says("north", rules.DishBare, rules.Raised, m)
	c.says("north", rules.ProbeSilent, rules.Raised, m)
	c.does("north", rules.ProbeSilent, alarm.Acknowledge)
	c.opens("north")
	for _, a := range c.ledger.Annunciations("") {
		if a.Ending != tally.Forgotten || a.Lost == a.Answered.Known {
			t.Errorf("%s: %+v", a.Alarm, a)
		}
	}
	c.found["north"][rules.DishBare].Level = rules.Clear
	c.does("north", rules.DishBare, alarm.Shelve) // in the new batch: no answer to the old call
	if a := c.ledger.Annunciations("")[0]; a.Answered.Known {
		t.Errorf("a call that was forgotten was answered afterwards: %+v", a)
	}
}

// A call that becomes silent by design before anybody answered is lost.
func TestASuppressionEndsACall(t *testing.T) {
	c := newClerk(t)
	c.says("north", rules.DishBare, rules.Raised, m)
	c.ledger.Change("north", c.at, c.wall(), alarm.Change{Alarm: rules.DishBare, From: alarm.Unacknowledged, To: alarm.SuppressedByDesign})
	if a := c.ledger.Annunciations("")[0]; a.Ended != at(m) || a.Ending != tally.Suppressed || !a.Lost {
		t.Errorf("got %+v", a)
	}
}

// An alarm that is carried over to the next batch out of service is returned and
// taken out in one instant; nobody hears it.
func TestWhatIsCarriedOverOutOfServiceDoesNotCall(t *testing.T) {
	c := newClerk(t)
	c.says("north", rules.ProbeSilent, rules.Raised, m)
	c.does("north", rules.ProbeSilent, alarm.PutOutOfService)
	c.passes(m)
	c.does("north", rules.ProbeSilent, alarm.ReturnToService)
	c.opens("north")
	c.does("north", rules.ProbeSilent, alarm.PutOutOfService)
	if all := c.ledger.Annunciations(""); len(all) != 1 {
		t.Errorf("%d annunciations, want the one before: %+v", len(all), all)
	}
}

// After a restart a bath begins anew unless its batch is open.
func TestARestartForgetsWhereNoBatchIsOpen(t *testing.T) {
	c := newClerk(t)
	for _, bath := range []string{"north", "south"} {
		c.ledger.Batch(bath, c.at, true)
		c.ledger.Phase(bath, c.at, rules.Heating)
		c.found[bath][rules.DishBare].Level = rules.Raised
	}
	c.passes(h)
	c.ledger.Batch("south", c.at, false)
	c.at += 2 * h
	c.ledger.Restart(c.at, c.wall())
	c.ledger.Seen(c.at+m, c.wall().Add(m))
	north, south := c.ledger.Annunciations("north")[0], c.ledger.Annunciations("south")[0]
	if north.Ended.Known || !north.Calls() || south.Ended != at(3*h) || south.Ending != tally.Forgotten || !south.Lost {
		t.Errorf("north %+v, south %+v", north, south)
	}
	for bath, want := range map[string]time.Duration{"north": h + m, "south": h, "": h + m} {
		w := c.ledger.Watch(bath, tally.Month{})
		f := tally.Of(nil, w)
		if got := f.Lit.Round(s); got != want || f.Watched.Round(s) != h+m {
			t.Errorf("%q was lit for %s of %s, want %s of %s", bath, got, f.Watched, want, h+m)
		}
	}
}

// Where nothing stands in the record for over a minute, nobody watched; polls
// half a minute apart are watching.
func TestOnlyWhatIsInTheRecordWasWatched(t *testing.T) {
	var l tally.Ledger
	for _, at := range []time.Duration{0, 60*s + time.Millisecond, 10 * m, 10*m + 30*s} {
		l.Seen(at, began.Add(at))
	}
	want := []tally.Span{{From: 0, To: m + 2*time.Millisecond}, {From: 10 * m, To: 10*m + 30*s + time.Millisecond}}
	if got := l.Watch("", tally.Month{}).Watched; !slices.Equal(got, want) {
		t.Errorf("watched %v, want %v", got, want)
	}
}

// A month ends at midnight UTC, and each call belongs to one.
func TestMonths(t *testing.T) {
	c := newClerk(t) // two hours before December
	c.says("north", rules.DishBare, rules.Raised, 2*h-s)
	c.says("north", rules.TopUpDue, rules.Raised, 2*h)
	november, december := tally.Month{Year: 2026, Month: time.November}, tally.Month{Year: 2026, Month: time.December}
	if got := c.ledger.Months(); !slices.Equal(got, []tally.Month{november, december}) {
		t.Errorf("months %v", got)
	}
	for month, want := range map[tally.Month]rules.ID{november: rules.DishBare, december: rules.TopUpDue} {
		f := tally.Of(c.ledger.Annunciations(""), c.ledger.Watch("", month))
		if f.Count != 1 || f.ByTag[0].Alarm != want || f.Watched.Round(m) != 2*h {
			t.Errorf("%v: %d calls, first of %v, in %s", month, f.Count, f.ByTag, f.Watched)
		}
	}
	from, to := december.Bounds()
	if to != time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC) || to.Sub(from) != 31*24*h {
		t.Errorf("December lasts from %s to %s", from, to)
	}
}

// A clock that is set moves what follows into another month, and nothing is
// watched twice.
func TestAClockThatIsSet(t *testing.T) {
	var l tally.Ledger
	l.Seen(0, began)
	l.Seen(30*s, began.Add(30*s))
	l.Seen(60*s, began.Add(3*h)) // three hours later by the clock, in December
	l.Seen(90*s, began.Add(3*h+30*s))
	november := l.Watch("", tally.Month{Year: 2026, Month: time.November}).Watched
	december := l.Watch("", tally.Month{Year: 2026, Month: time.December}).Watched
	if want := []tally.Span{{From: 0, To: m}}; !slices.Equal(november, want) {
		t.Errorf("November %v, want %v", november, want)
	}
	if want := []tally.Span{{From: m, To: 90*s + time.Millisecond}}; !slices.Equal(december, want) {
		t.Errorf("December %v, want %v", december, want)
	}
	if all := l.Watch("", tally.Month{}).Watched; len(all) != 1 {
		t.Errorf("all of it is %v, want one span", all)
	}
}

// Whatever happens: what the ledger takes to stand and to call is what stands
// and calls, and every call was counted.
func TestTheLedgerAgreesWithTheBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := newClerk(t)
		called := 0
		for range rapid.IntRange(1, 80).Draw(t, "turns") {
			bath := rapid.SampledFrom([]string{"north", "south"}).Draw(t, "bath")
			id := rapid.SampledFrom([]rules.ID{rules.BoilingDry, rules.DishBare, rules.TooShort}).Draw(t, "alarm")
			switch rapid.IntRange(0, 9).Draw(t, "turn") {
			case 0:
				c.opens(bath)
			case 1, 2, 3:
				_ = c.asks(bath, id, alarm.Action(rapid.IntRange(1, 6).Draw(t, "action"))) // refusals are part of life
			default:
				c.found[bath][id].Level = rules.Level(rapid.IntRange(0, 2).Draw(t, "level"))
			}
			c.passes(time.Duration(rapid.IntRange(1, 60).Draw(t, "passes")) * s)
		}
		last := map[tally.Tag]tally.Annunciation{}
		for _, a := range c.ledger.Annunciations("") {
			called++
			last[tally.Tag{Bath: a.Bath, Alarm: a.Alarm}] = a
		}
		for bath, book := range c.books {
			for id := range rules.IDCount {
				a, was := last[tally.Tag{Bath: bath, Alarm: id}]
				state := book.State(id)
				stands := state == alarm.Unacknowledged || state == alarm.Acknowledged
				waits := state == alarm.Unacknowledged || state == alarm.ReturnedUnacknowledged || state == alarm.LatchedUnacknowledged
				if was && !a.Ended.Known != stands || !was && stands {
					t.Fatalf("%s %s is %s, and the ledger says %+v", bath, id, state, a)
				}
				if was && a.Calls() && !waits {
					t.Fatalf("%s %s is %s, and the ledger lets it call", bath, id, state)
				}
				if state == alarm.Unacknowledged && !a.Calls() {
					t.Fatalf("%s %s is %s, and the ledger lets it not call", bath, id, state)
				}
			}
		}
		f := c.figures("")
		if f.Count != called || f.Answered+f.Unanswered != called {
			t.Fatalf("%d calls, of which %d were answered and %d not; want %d", f.Count, f.Answered, f.Unanswered, called)
		}
	})
}

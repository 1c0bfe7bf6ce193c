package tally_test

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/tally"
)

// calls makes annunciations of one alarm of one bath, at these offsets.
func calls(bath string, id rules.ID, at ...time.Duration) []tally.Annunciation {
	var all []tally.Annunciation
	for _, t := range at {
		all = append(all, tally.Annunciation{Bath: bath, Alarm: id, Priority: alarm.Of(id).Priority, Raised: t})
	}
	return all
}

func every(step time.Duration, n int) []time.Duration {
	var at []time.Duration
	for i := range n {
		at = append(at, time.Duration(i)*step)
	}
	return at
}

func at(t time.Duration) tally.Moment { return tally.Moment{At: t, Known: true} }

func watch(d time.Duration) tally.Watch {
	return tally.Watch{Watched: []tally.Span{{From: 0, To: d}}}
}

const (
	s = time.Second
	m = time.Minute
	h = time.Hour
)

// A morning of two batches, reckoned by hand.
func TestAWorkedExample(t *testing.T) {
	w := tally.Watch{
		Watched: []tally.Span{{From: 0, To: 20 * h}, {From: 30 * h, To: 34 * h}}, // a night without power
		Lit:     []tally.Span{{From: 1 * h, To: 4 * h}, {From: 30 * h, To: 33 * h}},
	}
	all := []tally.Annunciation{
		{Bath: "north", Alarm: rules.TopUpDue, Priority: alarm.Medium, Raised: 2 * h, Answered: at(2*h + 60*s), Ended: at(2*h + 4*m), Ending: tally.Cleared},
		{Bath: "north", Alarm: rules.TopUpDue, Priority: alarm.Medium, Raised: 3 * h, Answered: at(3*h + 120*s), Ended: at(3*h + 4*m), Ending: tally.Cleared},
		{Bath: "south", Alarm: rules.TopUpDue, Priority: alarm.Medium, Raised: 3*h + 4*m, Ended: at(3*h + 4*m + 40*s), Ending: tally.Cleared, Lost: true},
		{Bath: "north", Alarm: rules.WarmBottling, Priority: alarm.Low, Raised: 19*h + 59*m, Answered: at(30*h + 2*m)},
		{Bath: "south", Alarm: rules.BoilingDry, Priority: alarm.Critical, Raised: 30 * h},
		{Bath: "south", Alarm: rules.TooShort, Priority: alarm.Medium, Raised: 25 * h}, // while nobody watched
	}
	got := tally.Of(all, w)
	if len(got.Standing) != 3 {
		t.Errorf("%d stand at the end, want 3: %+v", len(got.Standing), got.Standing)
	}
	got.Standing = nil
	want := tally.Figures{
		Watched: 24 * h, Lit: 6 * h, Days: 2,
		Count: 5, CountLit: 4,
		ByPriority: [4]int{alarm.Low: 1, alarm.Medium: 3, alarm.Critical: 1},
		Hours:      24, Shorts: 144,
		MostInHour: 2, MostInShort: 2, // 3:00 and 3:04; 19:59 and, on the clock of watching, 20:00
		ByTag: []tally.Share{
			{Tag: tally.Tag{Bath: "north", Alarm: rules.TopUpDue}, Count: 2},
			{Tag: tally.Tag{Bath: "north", Alarm: rules.WarmBottling}, Count: 1},
			{Tag: tally.Tag{Bath: "south", Alarm: rules.BoilingDry}, Count: 1},
			{Tag: tally.Tag{Bath: "south", Alarm: rules.TopUpDue}, Count: 1},
		},
		Fleeting:  1,
		Answered:  3,
		AnswerP50: 2 * m, AnswerP90: 3 * m, AnswerMax: 3 * m, // 1, 2 and 3 min: the night does not count
		Unanswered: 2, Calling: 1,
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

// A flood begins when more than ten came in ten minutes and ends when fewer than
// five did (ISA-18.2 and EEMUA 191, from memory). Fifteen calls, one every half
// minute: the eleventh comes at 5:00, and it is ten minutes old at 15:00, when
// four are left.
func TestAFloodReckonedByHand(t *testing.T) {
	f := tally.Of(calls("north", rules.TopUpDue, every(30*s, 15)...), watch(h))
	if f.Floods != 1 || f.InFlood != 10*m || f.BusyShorts != 1 || f.MostInShort != 15 {
		t.Errorf("%d floods of %s, %d busy periods, most %d; want 1 of 10m, 1, 15", f.Floods, f.InFlood, f.BusyShorts, f.MostInShort)
	}
	if f := tally.Of(calls("north", rules.TopUpDue, every(30*s, 10)...), watch(h)); f.Floods != 0 || f.BusyShorts != 0 {
		t.Errorf("ten calls in ten minutes are %d floods", f.Floods)
	}
	// What is still under way counts to the end of what was watched.
	if f := tally.Of(calls("north", rules.TopUpDue, every(30*s, 15)...), watch(8*m)); f.InFlood != 3*m {
		t.Errorf("a flood that began at 5:00 lasted %s at 8:00", f.InFlood)
	}
}

// Whatever comes when: floods are what a clerk finds who looks at the last ten
// minutes in every second.
func TestFloodsAreThoseThatAClerkFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := time.Duration(rapid.IntRange(1, 5400).Draw(t, "length")) * s
		gap := rapid.SampledFrom([]int{30, 60, 90, 200}).Draw(t, "gap")
		grid := rapid.SampledFrom([]int{1, 15, 60}).Draw(t, "grid") // so that some come as others grow old
		var when []time.Duration
		for now := time.Duration(0); ; {
			now += time.Duration(rapid.IntRange(0, gap).Draw(t, "after")/grid*grid) * s
			if now >= length || len(when) == 200 {
				break
			}
			when = append(when, now)
		}
		f := tally.Of(calls("north", rules.TopUpDue, when...), watch(length))
		n, lasted, most := 0, time.Duration(0), 0
		flooded := false
		for now := time.Duration(0); now < length; now += s {
			count := 0
			for _, c := range when {
				if c <= now && now < c+10*m {
					count++
				}
			}
			most = max(most, count)
			switch {
			case count > 10 && !flooded:
				flooded = true
				n++
			case count < 5:
				flooded = false
			}
			if flooded {
				lasted += s
			}
		}
		if f.Floods != n || f.InFlood != lasted || f.MostInShort != most {
			t.Fatalf("%d floods of %s and at most %d, want %d of %s and %d", f.Floods, f.InFlood, f.MostInShort, n, lasted, most)
		}
	})
}

// Three and more calls of one alarm within a minute are chattering; two alarms
// do not chatter together, nor one alarm of two baths.
func TestChattering(t *testing.T) {
	for _, c := range []struct {
		name string
		all  []tally.Annunciation
		want int
	}{
		{"three within a minute", calls("north", rules.DishBare, 0, 30*s, 59*s), 3},
		{"the third a minute after the first", calls("north", rules.DishBare, 0, 30*s, 60*s), 0},
		{"four, then two much later", calls("north", rules.DishBare, 0, 30*s, 59*s, 80*s, h, h+s), 4},
		{"three, then three", calls("north", rules.DishBare, 0, 1*s, 2*s, h, h+s, h+2*s), 6},
		{"of two baths", append(calls("north", rules.DishBare, 0, 30*s), calls("south", rules.DishBare, 40*s)...), 0},
		{"two alarms", append(calls("north", rules.DishBare, 0, 30*s), calls("north", rules.TopUpDue, 40*s)...), 0},
	} {
		got := 0
		for _, s := range tally.Of(c.all, watch(2*h)).Chattering {
			got += s.Count
		}
		if got != c.want {
			t.Errorf("%s: %d calls chatter, want %d", c.name, got, c.want)
		}
	}
}

// A fleeting call clears within a minute and does not come again at once; one
// that a person shelved did not clear.
func TestFleeting(t *testing.T) {
	end := func(after time.Duration, how tally.Ending, raised ...time.Duration) []tally.Annunciation {
		all := calls("north", rules.ProbeSilent, raised...)
		for i := range all {
			all[i].Ended, all[i].Ending = at(all[i].Raised+after), how
		}
		return all
	}
	for _, c := range []struct {
		name string
		all  []tally.Annunciation
		want int
	}{
		{"59 s", end(59*s, tally.Cleared, 0), 1},
		{"a minute", end(m, tally.Cleared, 0), 0},
		{"again within a minute: the last alone", end(10*s, tally.Cleared, 0, 69*s), 1},
		{"again after a minute", end(10*s, tally.Cleared, 0, 70*s), 2},
		{"shelved", end(10*s, tally.PutAway, 0), 0},
		{"suppressed", end(10*s, tally.Suppressed, 0), 0},
		{"forgotten", end(10*s, tally.Forgotten, 0), 0},
	} {
		if got := tally.Of(c.all, watch(2*h)).Fleeting; got != c.want {
			t.Errorf("%s: %d flee, want %d", c.name, got, c.want)
		}
	}
}

// A stale alarm has stood for more than a day, of watching.
func TestStale(t *testing.T) {
	all := calls("north", rules.ProbeSilent, 0, 30*h, 40*h)
	all[0].Ended = at(24 * h)
	all[1].Ended = at(80 * h)
	f := tally.Of(all, watch(100*h))
	// The first stood for a day and no longer; the second is stale from 54 h to
	// 80 h, the third from 64 h on: both on the third day (48 to 72 h) and the
	// fourth.
	if f.Stale != 2 || f.StaleMost != 2 || len(f.Standing) != 1 {
		t.Errorf("%d are stale, %d on one day, %d stand; want 2, 2, 1", f.Stale, f.StaleMost, len(f.Standing))
	}
	off := tally.Watch{Watched: []tally.Span{{From: 0, To: 50 * h}, {From: 90 * h, To: 100 * h}}}
	if f := tally.Of(all[1:], off); f.Stale != 0 { // both stood for 20 h of watching
		t.Errorf("%d are stale though the power was off for most of the time", f.Stale)
	}
}

// More than thirty in an hour, more than ten in ten minutes.
func TestBusyPeriods(t *testing.T) {
	f := tally.Of(calls("north", rules.TopUpDue, every(2*m, 31)...), watch(90*m)) // 0 to 60 min
	if f.Hours != 2 || f.BusyHours != 0 || f.MostInHour != 30 {
		t.Errorf("%d hours, %d busy, most %d; want 2, 0, 30", f.Hours, f.BusyHours, f.MostInHour)
	}
	f = tally.Of(calls("north", rules.TopUpDue, every(110*s, 33)...), watch(90*m)) // the 33rd at 58:40
	if f.BusyHours != 1 || f.MostInHour != 33 {
		t.Errorf("%d hours busy, most %d; want 1, 33", f.BusyHours, f.MostInHour)
	}
}

// One call in each of ten alarms and two of an eleventh: the top ten are eleven
// of twelve calls.
func TestTheTopTen(t *testing.T) {
	var all []tally.Annunciation
	for id := range rules.IDCount {
		all = append(all, calls("north", id, h)...)
	}
	all = append(all, calls("south", rules.TopUpDue, h, 2*h)...)
	f := tally.Of(all, watch(3*h))
	if share, of := f.TopShare(); of != 11 || share != 11.0/12 {
		t.Errorf("%v of %d alarms, want 11/12 of 11", share, of)
	}
	if top := f.ByTag[0]; top.Bath != "south" || top.Alarm != rules.TopUpDue || top.Count != 2 {
		t.Errorf("the most frequent is %+v", top)
	}
	var none tally.Figures
	if share, of := none.TopShare(); share != 0 || of != 0 {
		t.Errorf("of nothing the top ten are %v of %d", share, of)
	}
}

// What is counted is the same for a site as for its baths one by one; only
// crowds are more than their parts.
func TestASiteIsTheSumOfItsBaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := watch(time.Duration(rapid.IntRange(1, 100).Draw(t, "hours")) * h)
		w.Lit = []tally.Span{{From: h / 2, To: h}}
		baths := []string{"north", "south", "west"}
		parts := map[string][]tally.Annunciation{}
		var all []tally.Annunciation
		for range rapid.IntRange(0, 60).Draw(t, "calls") {
			id := rules.ID(rapid.IntRange(0, int(rules.IDCount)-1).Draw(t, "alarm"))
			a := calls(rapid.SampledFrom(baths).Draw(t, "bath"), id, time.Duration(rapid.IntRange(0, 7200).Draw(t, "at"))*s)[0]
			if rapid.Bool().Draw(t, "ends") {
				a.Ended, a.Ending = at(a.Raised+time.Duration(rapid.IntRange(0, 200000).Draw(t, "lasts"))*s), tally.Cleared
			}
			if rapid.Bool().Draw(t, "answered") {
				a.Answered = at(a.Raised + time.Duration(rapid.IntRange(0, 900).Draw(t, "after"))*s)
			}
			all = append(all, a)
			parts[a.Bath] = append(parts[a.Bath], a)
		}
		whole := tally.Of(all, w)
		var sum tally.Figures
		for _, bath := range baths {
			f := tally.Of(parts[bath], w)
			sum.Count += f.Count
			sum.CountLit += f.CountLit
			for p, n := range f.ByPriority {
				sum.ByPriority[p] += n
			}
			sum.ByTag = append(sum.ByTag, f.ByTag...)
			sum.Chattering = append(sum.Chattering, f.Chattering...)
			sum.Fleeting += f.Fleeting
			sum.Stale += f.Stale
			sum.Standing = append(sum.Standing, f.Standing...)
			sum.Answered += f.Answered
			sum.Unanswered += f.Unanswered
			sum.Calling += f.Calling
			sum.AnswerMax = max(sum.AnswerMax, f.AnswerMax)
			if f.MostInShort > whole.MostInShort || f.InFlood > whole.InFlood || f.BusyShorts > whole.BusyShorts {
				t.Fatalf("bath %s is more crowded than its site", bath)
			}
		}
		for _, c := range []struct {
			what     string
			got, sum int
		}{
			{"calls", whole.Count, sum.Count}, {"lit", whole.CountLit, sum.CountLit}, {"alarms", len(whole.ByTag), len(sum.ByTag)},
			{"chattering", len(whole.Chattering), len(sum.Chattering)}, {"fleeting", whole.Fleeting, sum.Fleeting},
			{"stale", whole.Stale, sum.Stale}, {"standing", len(whole.Standing), len(sum.Standing)},
			{"answered", whole.Answered, sum.Answered}, {"unanswered", whole.Unanswered, sum.Unanswered}, {"calling", whole.Calling, sum.Calling},
		} {
			if c.got != c.sum {
				t.Fatalf("%s: %d, and %d in the baths", c.what, c.got, c.sum)
			}
		}
		if whole.ByPriority != sum.ByPriority || whole.AnswerMax != sum.AnswerMax {
			t.Fatal("priorities or the longest answer differ")
		}
	})
}

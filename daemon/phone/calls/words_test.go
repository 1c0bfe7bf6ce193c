package calls

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"bainward/daemon/phone/notice"
	"bainward/rules"
	"bainward/rules/alarm"
)

var somewhen = Instant{At: time.Hour, Wall: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)}

func oneContact(w Words) *Plan {
	return &Plan{Site: "Alder Yard", Contacts: []Contact{{Name: "Robin", Channels: []string{"phone"}}}, Words: w}
}

func raisedNow(bath string, id rules.ID) Changed {
	return Changed{Bath: bath, Change: alarm.Change{
		Alarm: id, To: alarm.Unacknowledged, Priority: alarm.Of(id).Priority,
		Finding: rules.Finding{Level: rules.Raised, A: 104.2, B: 99.6},
	}}
}

// dueOf returns the one notice that a step makes.
func dueOf(t testing.TB, b *Book, p *Plan, now Instant, happened ...Happening) Due {
	t.Helper()
	next, facts := b.Step(p, now, happened)
	*b = next
	var all []Due
	for _, f := range facts {
		if d, ok := f.(Due); ok {
			all = append(all, d)
		}
	}
	if len(all) != 1 {
		t.Fatalf("%d notices are due, want one: %+v", len(all), all)
	}
	return all[0]
}

// The plain words of every alarm fit, name the bath, and end with a whole
// sentence of the rule's advice.
func TestPlainWordsFitAndAreWhole(t *testing.T) {
	for id := range rules.IDCount {
		var b Book
		d := dueOf(t, &b, oneContact(nil), somewhen, raisedNow("north", id))
		advice, _ := firstSentence(rules.Advice(id))
		if want := "north: " + strings.ReplaceAll(id.String(), "-", " "); d.Title != want {
			t.Errorf("title %q, want %q", d.Title, want)
		}
		if utf8.RuneCountInString(d.Text) > textSize || !strings.HasSuffix(d.Text, ".") || strings.Contains(d.Text, cutMark) {
			t.Errorf("%s: %q", id, d.Text)
		}
		if !strings.Contains(d.Text, advice) {
			t.Errorf("%s: no advice in %q", id, d.Text)
		}
		t.Logf("%s | %s", d.Title, d.Text)
	}
}

// Whatever words a card has: the sizes are kept, the fact leads, and the time
// left is not what is cut.
func TestAnyWordsFit(t *testing.T) {
	phrase := rapid.StringMatching(`([a-zäß°]{1,12}[ .]){0,40}`)
	rapid.Check(t, func(rt *rapid.T) {
		left := rapid.StringMatching(`[0-9]{1,3} min left`).Draw(rt, "left")
		fact := rapid.StringMatching(`([a-z]{1,9} ){1,30}`).Draw(rt, "fact")
		do := phrase.Draw(rt, "do")
		p := oneContact(func(rules.ID, rules.Finding) (string, string, string) { return fact, do, left })
		var b Book
		d := dueOf(t, &b, p, somewhen, raisedNow("north", rules.TopUpDue))
		if n := utf8.RuneCountInString(d.Title); n > titleSize || !strings.HasPrefix(d.Title, "north: ") {
			rt.Fatalf("title of %d characters: %q", n, d.Title)
		}
		if n := utf8.RuneCountInString(d.Text); n > textSize || !strings.HasSuffix(d.Text, left+".") {
			rt.Fatalf("text of %d characters: %q", n, d.Text)
		}
	})
}

// What is told again says the time that is left now, and for how long nobody
// has answered; without news of the alarm it claims no time left.
func TestWhatIsToldAgainSaysWhatHoldsNow(t *testing.T) {
	p := oneContact(func(_ rules.ID, f rules.Finding) (string, string, string) {
		return "top-up due", "Add hot water.", fmt.Sprintf("%.0f min to a bare base", f.A)
	})
	var b Book
	first := raisedNow("north", rules.TopUpDue)
	first.Finding.A = 8
	now := somewhen
	texts := []string{dueOf(t, &b, p, now, first).Text}
	now.At += 6 * time.Minute
	texts = append(texts, dueOf(t, &b, p, now, Standing{
		Bath: "north", Alarm: rules.TopUpDue, State: alarm.Unacknowledged, Finding: rules.Finding{Level: rules.Raised, A: 2},
	}).Text)
	now.At += 6 * time.Minute
	texts = append(texts, dueOf(t, &b, p, now).Text)
	want := []string{
		"Add hot water. 8 min to a bare base.",
		"Add hot water. 2 min to a bare base. Unanswered for 6 min.",
		"Add hot water. Unanswered for 12 min.",
	}
	for i := range want {
		if texts[i] != want[i] {
			t.Errorf("got  %q\nwant %q", texts[i], want[i])
		}
	}
}

// Several calls in one notice are listed, the gravest first, with what to do
// about that one.
func TestSeveralCallsInOneNotice(t *testing.T) {
	p := oneContact(func(id rules.ID, _ rules.Finding) (string, string, string) {
		return strings.ReplaceAll(id.String(), "-", " "), "Heat off.", ""
	})
	var b Book
	happened := []Happening{raisedNow("south", rules.TopUpDue)}
	for i := range 9 {
		happened = append(happened, raisedNow(fmt.Sprintf("bath-%d", i), rules.DishBare))
	}
	d := dueOf(t, &b, p, somewhen, append(happened, raisedNow("north", rules.BoilingDry))...)
	if d.Title != "north: boiling dry + 10 more" {
		t.Errorf("title %q", d.Title)
	}
	const want = "north: boiling dry · bath-0: dish bare · bath-1: dish bare · bath-2: dish bare · and 7 more. Heat off."
	if d.Text != want {
		t.Errorf("got  %q\nwant %q", d.Text, want)
	}
	if len(d.Calls) != 11 || d.Priority != alarm.Critical || d.Bath != "" || d.Alarm != "" || d.Kind != notice.Raised {
		t.Errorf("notice %+v", d)
	}
}

// Half of an advice is the wrong advice: sentences are kept whole or left out.
func TestAdviceIsNeverCutWithinASentence(t *testing.T) {
	const advice = "Do not move the dish and pour no water in. Heat off."
	for n, want := range map[int]string{10: "", 41: "", 42: "Do not move the dish and pour no water in.", 51: "Do not move the dish and pour no water in.", 52: advice, 99: advice} {
		if got := sentences(advice, n); got != want {
			t.Errorf("in %d characters %q, want %q", n, got, want)
		}
	}
	if first, rest := firstSentence("It reads 99.6 °C. Look!"); first != "It reads 99.6 °C." || rest != "Look!" {
		t.Errorf("%q, %q", first, rest)
	}
}

// A newer notice takes the place of an older one on the same way if it tells all
// of that, or if it calls again about what the older one says is over.
func TestWhatANewerNoticeSupersedes(t *testing.T) {
	due := func(k notice.Kind, channel string, ids ...string) Due {
		return Due{Notice: notice.Notice{Kind: k, Contact: "Robin", Channel: channel}, Calls: ids}
	}
	const one, two, later = "north/dish-bare/1", "south/dish-bare/2", "north/dish-bare/9"
	for _, c := range []struct {
		newer, older Due
		want         bool
	}{
		{due(notice.Again, "a", one), due(notice.Raised, "a", one), true},
		{due(notice.Again, "a", one, two), due(notice.Raised, "a", two), true},
		{due(notice.Again, "a", one), due(notice.Raised, "a", one, two), false},
		{due(notice.Again, "a", one), due(notice.Raised, "b", one), false},
		{due(notice.Over, "a", one), due(notice.Raised, "a", one), false},
		{due(notice.Raised, "a", later), due(notice.Over, "a", one, two), true},
		{due(notice.Raised, "a", later), due(notice.Over, "a", two), false},
		{due(notice.Raised, "a", one), due(notice.Proof, "a"), false},
	} {
		if got := c.newer.Supersedes(c.older); got != c.want {
			t.Errorf("%s of %v supersedes %s of %v: %v", c.newer.Kind, c.newer.Calls, c.older.Kind, c.older.Calls, got)
		}
	}
}

// Every priority has its rung with a reason, and a graver one is never called
// less than a lesser one.
func TestTheGraverTheMorePatient(t *testing.T) {
	for p := alarm.Low; p <= alarm.Critical; p++ {
		r := rungOf(p)
		if r.why == "" {
			t.Errorf("%s: nobody wrote down why", p)
		}
		if p == alarm.Low {
			continue
		}
		less := rungOf(p - 1)
		if r.repeats < less.repeats || r.contacts < less.contacts || r.halfMosts < less.halfMosts ||
			less.insists && !r.insists || less.wakes && !r.wakes || less.loud && !r.loud || r.waits && !less.waits {
			t.Errorf("%s asks for less than %s", p, p-1)
		}
	}
}

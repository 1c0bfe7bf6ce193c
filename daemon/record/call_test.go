package record

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func opened(id string) Call {
	return Call{State: Opened, ID: id, About: "dish-bare", Priority: "high", Fact: "dish bare", Do: "Look at the water now."}
}

func noticeTo(contact, id string) Notice {
	return Notice{ID: id, Calls: []string{"north/dish-bare/1"}, Contact: contact, Channel: "phone", Why: "raised",
		Alarm: "dish-bare", Priority: "high", Title: "north: dish bare", Text: "Look at the water now.", Sampled: nine}
}

// What the record keeps of calls, notices and attempts it gives back as it was.
func TestCallsAreReadBackAsTheyWere(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := func(name string) string { return rapid.String().Draw(rt, name) }
		for _, b := range []Body{
			&Call{State: Opened, ID: "c" + text("id"), About: "a" + text("about"), Priority: "critical", Fact: text("fact"), Do: text("do")},
			&Call{State: rapid.SampledFrom([]string{Answered, Over}).Draw(rt, "state"), ID: "c", How: "h" + text("how"), By: text("by"), Via: text("via")},
			&Notice{ID: "n", Calls: rapid.SliceOfN(rapid.String(), 1, 3).Draw(rt, "calls"), Contact: "c" + text("contact"), Channel: "phone",
				Why: "again", Priority: "low", Title: text("title"), Text: text("text"), Quiet: rapid.Bool().Draw(rt, "quiet"), Sampled: nine},
			new(AttemptOf("n"+text("notice"), rapid.IntRange(0, 99).Draw(rt, "try"), Failed, text("said"), time.Duration(rapid.Int64Range(0, 1<<60).Draw(rt, "next")))),
		} {
			back := newBody(b.Kind())
			if err := must(Of(0, nine, "north", b)).Decode(back); err != nil || !reflect.DeepEqual(b, back) {
				rt.Fatalf("%+v became %+v, %v", b, back, err)
			}
		}
	})
}

// A far end that talks for pages, in binary, fills one short line.
func TestWhatAFarEndSaysIsCutToALine(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		said := string(rapid.SliceOfN(rapid.Byte(), 0, 2000).Draw(rt, "said"))
		a := AttemptOf("n1", 1, Failed, said, 0)
		if len(a.Said) > maxSaid || !utf8.ValidString(a.Said) || strings.ContainsAny(a.Said, "\n\r\t\x00") {
			rt.Fatalf("%q became %q", said, a.Said)
		}
		if _, err := Of(0, nine, "north", a); err != nil {
			rt.Fatal(err)
		}
	})
	if a := AttemptOf("n1", 1, Delivered, " 250  2.0.0\r\nOk ", 0); a.Said != "250 2.0.0 Ok" {
		t.Errorf("got %q", a.Said)
	}
}

func TestCallsThatMakeNoSenseAreRefused(t *testing.T) {
	for _, c := range []struct {
		body Body
		want string
	}{
		{Call{State: Opened}, "the call has no id"},
		{Call{State: Opened, ID: "c"}, `call "c" is about nothing`},
		{Call{State: Opened, ID: "c", About: "dish-bare", Priority: "grave"}, `unknown priority "grave"`},
		{Call{State: "ringing", ID: "c"}, `call state "ringing"`},
		{Call{State: Answered, ID: "c"}, "does not say how it ended"},
		{Notice{ID: "n", Contact: "Robin", Why: "raised", Priority: "low"}, "it lacks one of these"},
		{Notice{ID: "n", Contact: "Robin", Channel: "phone", Why: "raised"}, `unknown priority ""`},
		{Attempt{Result: Delivered}, "names no notice"},
		{Attempt{Notice: "n", Result: "lost"}, `unknown result "lost"`},
		{Attempt{Notice: "n", Result: Failed, Next: -1}, "neither can be below 0"},
		{Attempt{Notice: "n", Result: Failed, Said: strings.Repeat("x", maxSaid+1)}, "make it with AttemptOf"},
	} {
		if _, err := Of(0, nine, "north", c.body); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: got %v, want %q", c.body, err, c.want)
		}
	}
}

// Calls gives the entries of the three kinds, of every bath and of the site, in
// the order of the log, and nothing else.
func TestCallsGivesWhatTheCallsAreFoldedFrom(t *testing.T) {
	r := openIn(t, t.TempDir())
	var want []Entry
	at := time.Duration(0)
	put := func(bath string, b Body) {
		at += time.Second
		kept := appendTo(t, r, OfFrame("north", frameAt(at)), OfFrame("south", frameAt(at)), must(Of(at, nine.Add(at), bath, b)), must(Of(at, nine.Add(at), "", Clock{})))
		want = append(want, kept[2])
	}
	put("south", opened("south/dish-bare/1000"))
	put("", Call{State: Opened, ID: "/sibling-barn/2000", About: "sibling-barn", Priority: "high"})
	put("south", noticeTo("Robin", "n1000"))
	put("north", noticeTo("Sorrel", "n2000"))
	put("", AttemptOf("n1000", 1, Failed, "no route", 2*time.Second))
	put("", AttemptOf("n1000", 2, Delivered, "ok", 0))
	put("south", Call{State: Answered, ID: "south/dish-bare/1000", How: "acknowledged", By: "Robin"})
	var got []Entry
	for e, err := range r.Calls(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, e)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%v\nwant\n%v", got, want)
	}
	for e, err := range r.Calls(t.Context()) {
		if err != nil || e.Seq != want[0].Seq {
			t.Errorf("the first is %v, %v", e, err)
		}
		break
	}
}

// Calls goes back a week, and finds nothing in an empty record.
func TestCallsGoesBackAWeek(t *testing.T) {
	r := openIn(t, t.TempDir())
	for e, err := range r.Calls(t.Context()) {
		t.Errorf("in an empty record: %v, %v", e, err)
	}
	for i, at := range []time.Duration{0, time.Second, time.Hour, CallsLookBack + time.Second} {
		appendTo(t, r, must(Of(at, nine, "north", opened(fmt.Sprint(i)))))
	}
	var got []int64
	for e, err := range r.Calls(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, e.Seq)
	}
	if !equal(got, []int64{2, 3, 4}) {
		t.Errorf("got %v, want 2, 3 and 4: a week before the last is the second", got)
	}
}

// The numbers come from the index alone, searched by kind, bath and number: a
// year of readings and of settled calls costs nothing at a start.
func TestCallsAreFoundThroughTheIndex(t *testing.T) {
	r := openIn(t, t.TempDir())
	rows, err := r.db.QueryContext(t.Context(), "EXPLAIN QUERY PLAN "+callSeqsSQL, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var plan []string
	for rows.Next() {
		var line string
		if err := rows.Scan(new(int), new(int), new(int), &line); err != nil {
			t.Fatal(err)
		}
		plan = append(plan, line)
	}
	const want = "SEARCH e USING COVERING INDEX entry_of (kind=? AND bath=? AND seq>?)"
	if all := strings.Join(plan, "\n"); !strings.Contains(all, want) || strings.Contains(all, "SCAN e") {
		t.Errorf("the plan is\n%s\nwant %q in it", all, want)
	}
}

// The statement of READING.md shows each notice with its tries, and one that
// was not tried yet.
func TestThePageShowsWhoWasCalled(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	appendTo(t, r, must(Of(0, nine, "north", noticeTo("Robin", "n1"))), must(Of(0, nine, "north", noticeTo("Sorrel", "n2"))),
		must(Of(0, nine, "", AttemptOf("n1", 1, Failed, "no route", time.Second))), must(Of(0, nine, "", AttemptOf("n1", 2, Delivered, "ok", 0))))
	_, after, found := strings.Cut(string(must(os.ReadFile(filepath.Join("READING.md")))), "## Who was called")
	_, statement, ok := strings.Cut(after, "\n\n    ")
	statement, _, ends := strings.Cut(statement, "\n\n")
	if !found || !ok || !ends {
		t.Fatal("READING.md has no statement under \"Who was called\"")
	}
	const want = `1|Robin|phone|raised|north: dish bare|1|failed|no route
1|Robin|phone|raised|north: dish bare|2|delivered|ok
2|Sorrel|phone|raised|north: dish bare|||
`
	if got := shell(t, dir, statement); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// A program that does not know calls passes them over: they are nothing that the
// rules are given.
func TestCallsAreNoInputOfTheRules(t *testing.T) {
	for _, b := range []Body{opened("c"), noticeTo("Robin", "n"), AttemptOf("n", 1, Failed, "", 0)} {
		if _, ok, err := must(Of(0, nine, "north", b)).Input(); ok || err != nil {
			t.Errorf("%s: %v, %v", b.Kind(), ok, err)
		}
	}
}

// BenchmarkCalls reads a week of calls, some 20,000 entries, out of a record with
// readings between them, as every start does.
func BenchmarkCalls(b *testing.B) {
	r := openIn(b, b.TempDir())
	at := time.Duration(0)
	for range 200 {
		var some []Entry
		for range 100 {
			at += time.Second
			some = append(some, OfFrame("north", frameAt(at)), OfFrame("south", frameAt(at)), must(Of(at, nine, "north", AttemptOf("n1", 1, Failed, "no route", time.Second))))
		}
		appendTo(b, r, some...)
	}
	for b.Loop() {
		n := 0
		for _, err := range r.Calls(b.Context()) {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n != 20_000 {
			b.Fatalf("%d entries", n)
		}
	}
}

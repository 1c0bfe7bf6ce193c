package app

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// kitchenIn is a kitchen of that time zone whose clocks first show an instant.
func kitchenIn(t testing.TB, zone string, at time.Time) *kitchen {
	t.Helper()
	there, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	return newKitchenWith(t, func(o *Options) {
		s := *o.Site
		s.Zone = there
		wall := o.Clock.Wall
		o.Site, o.Clock.Wall = &s, func() time.Time { return wall().Add(at.Sub(nine)) }
	})
}

// drawn is the sheet of a batch from the record alone: no site file says anything.
func (k *kitchen) drawn(number string) []byte {
	k.t.Helper()
	var pdf bytes.Buffer
	if err := DrawSheet(k.t.Context(), &pdf, k.app.record.Reader, nil, number, "test", false); err != nil {
		k.t.Fatal(err)
	}
	return pdf.Bytes()
}

// printed is what poppler reads from a PDF, every gap one space.
func printed(t testing.TB, pdf []byte) string {
	t.Helper()
	cmd := exec.Command("pdftotext", "-raw", "-", "-")
	if cmd.Err != nil && os.Getenv("CI") != "true" {
		t.Skip(cmd.Err)
	}
	cmd.Stdin = bytes.NewReader(pdf)
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(text)), " ")
}

// mustSay fails for each text that is not there.
func mustSay(t *testing.T, text string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("%q is not on it:\n%s", w, text)
		}
	}
}

// In the night in which Ireland's clocks go back, at 01:00 UTC (Directive 2000/84/EC,
// from memory), 01:50 comes twice: each time says which it is, and the hold is as long
// as ever.
func TestASheetOverTheAutumnChangeTellsBothHoursApart(t *testing.T) {
	k := kitchenIn(t, "Europe/Dublin", time.Date(2026, 10, 25, 0, 35, 0, 0, time.UTC))
	number := k.inBottles("A")
	if number != "2026-10-25-north-1" {
		t.Errorf("the batch is %s", number)
	}
	text := printed(t, k.drawn(number))
	mustSay(t, text, "Made on 2026-10-25 at Alder Yard, bath north.", "The clocks of Europe/Dublin were changed meanwhile: beside each time stands how far it is ahead of UTC.",
		"01:35:00 +01:00", "01:25:00 +00:00") // filled; strained fifty minutes later
	if bare := regexp.MustCompile(`\d\d:\d\d:\d\d(?: [^+-]|$)`).FindString(text); bare != "" {
		t.Errorf("a time without its zone: %q", bare)
	}
	if n := k.count(record.KindSite); n != 2 {
		t.Errorf("%d entries say how the clocks stand, want one at the start and one at the change", n)
	}
	if c := k.course(number); c.Passes[0].HoldS < 1800 || c.Passes[0].HoldS > 2400 || c.Phases[0].When.Location() != time.UTC {
		t.Errorf("held for %g s; the course for programs begins at %s", c.Passes[0].HoldS, c.Phases[0].When)
	}
}

// In the night in which they go forward no clock shows 01:30.
func TestASheetOverTheSpringChangeSkipsAnHour(t *testing.T) {
	k := kitchenIn(t, "Europe/Dublin", time.Date(2026, 3, 29, 0, 35, 0, 0, time.UTC))
	text := printed(t, k.drawn(k.inBottles("A")))
	mustSay(t, text, "Made on 2026-03-29", "00:35:00 +00:00", "02:25:00 +01:00")
	if gone := regexp.MustCompile(`\b01:\d\d:\d\d`).FindString(text); gone != "" {
		t.Errorf("%s did not come that night", gone)
	}
}

// Half an hour before midnight in Denver it is the next day in Greenwich. Number,
// sheet, labels, shelf and the day of smelling go by the day in Denver; JSON stays UTC.
func TestABatchOfTheLateEveningIsOfThatDay(t *testing.T) {
	k := kitchenIn(t, "America/Denver", time.Date(2026, 7, 5, 5, 30, 0, 0, time.UTC))
	k.site.Units = rules.US
	number := k.inBottles("A")
	if number != "2026-07-04-north-1" {
		t.Errorf("the batch is %s", number)
	}
	a := k.account(number)
	if a.Made.String() != "2026-07-04" || a.Bottles[0].Filled.String() != "2026-07-05" || a.Bottles[0].CheckDue.String() != "2026-10-05" || a.Opened.Location() != time.UTC {
		t.Errorf("made %s, filled %s, to be smelled at from %s", a.Made, a.Bottles[0].Filled, a.Bottles[0].CheckDue)
	}
	k.app.Books(func(_ *ledger.Ledger, today ledger.Day) {
		if today.String() != "2026-07-05" {
			t.Errorf("today is %s", today)
		}
	})
	if l := k.labels(nil, number, LabelChoice{})[0]; l.Made.Format(time.DateOnly) != "2026-07-04" {
		t.Errorf("its label says made %s", l.Made)
	}
	var pdf bytes.Buffer
	if err := DrawSheet(t.Context(), &pdf, k.app.record.Reader, nil, number, "test", true); err != nil {
		t.Fatal(err)
	}
	mustSay(t, printed(t, pdf.Bytes()), "Made on 2026-07-04 at Alder Yard, bath north. Times are those of America/Denver, UTC-06:00.", "23:30:00", "2026-07-05 00:20:00")
}

// The record alone gives the same bytes on a machine that is set to another zone, with
// the daemon's books and with those read anew; a site file adds nothing to it.
func TestTheSheetIsTheSameOnAMachineOfAnotherZone(t *testing.T) {
	if dir := os.Getenv("BAINWARD_DRAW"); dir != "" {
		r, err := record.OpenReader(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		if _, offset := time.Now().Zone(); offset != 20700 {
			t.Fatalf("this process is %d s ahead of UTC: it cannot show anything", offset)
		}
		k := &kitchen{t: t, app: &App{record: &record.Record{Reader: r}}}
		fmt.Printf("sha256 %x\n", sha256.Sum256(k.drawn(os.Getenv("BAINWARD_BATCH"))))
		return
	}
	k := kitchenIn(t, "America/Denver", time.Date(2026, 11, 1, 7, 10, 0, 0, time.UTC)) // clocks go back at 08:00
	number := k.inBottles("A")
	here := k.drawn(number)
	cmd := exec.Command(os.Args[0], "-test.run=^TestTheSheetIsTheSameOnAMachineOfAnotherZone$", "-test.v")
	cmd.Env = append(os.Environ(), "BAINWARD_DRAW="+k.dir, "BAINWARD_BATCH="+number, "TZ=Asia/Kathmandu")
	out, err := cmd.CombinedOutput()
	if want := fmt.Sprintf("sha256 %x\n", sha256.Sum256(here)); err != nil || !strings.Contains(string(out), want) {
		t.Errorf("elsewhere: %v, want %s got\n%s", err, want, out)
	}
	var named bytes.Buffer
	other := site.Site{Name: "Somewhere Else", Zone: time.UTC}
	if err := DrawSheet(t.Context(), &named, k.app.record.Reader, &other, number, "test", false); err != nil || !bytes.Equal(named.Bytes(), here) {
		t.Errorf("a site file changed what the record says: %v", err)
	}
}

// A record that says nothing of the site is told in UTC, and then the site file says
// what the place is called.
func TestAnOldRecordIsToldInUTC(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	w := sheetWriter{site: k.site}
	if err := w.read(t.Context(), k.app.record.Reader, number); err != nil {
		t.Fatal(err)
	}
	w.where = nil
	w.head()
	if w.out.Site != "Alder Yard" || w.out.Zone != "" || w.out.Made.Location() != time.UTC {
		t.Errorf("made at %q in zone %q at %s", w.out.Site, w.out.Zone, w.out.Made)
	}
	var none clocks
	if got := none.wall(7, nine); !got.Equal(nine) || got.Location() != time.UTC || none.day(7, nine).String() != "2026-03-01" {
		t.Errorf("without a word of the site it was %s", got)
	}
}

// What is said of the site holds from its entry on, whatever the wall clock said then.
func TestTheClocksOfAnEntryAreThoseBeforeIt(t *testing.T) {
	all := clocks{
		{from: 5, Site: record.Site{Zone: "a", UTC: 3600}, clock: time.FixedZone("a", 3600)},
		{from: 9, Site: record.Site{Zone: "b"}, clock: time.FixedZone("b", 0)},
	}
	for seq, want := range map[int64]string{1: "", 4: "", 5: "a", 8: "a", 9: "b", 1000: "b"} {
		if got := all.at(seq).Zone; got != want {
			t.Errorf("entry %d is of %q, want %q", seq, got, want)
		}
	}
}

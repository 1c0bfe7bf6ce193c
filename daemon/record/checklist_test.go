package record

import (
	"context"
	"strings"
	"testing"
	"time"
)

func ticked(batch string, keys ...string) Checklist {
	c := Checklist{Batch: batch, By: "Robin"}
	for _, key := range keys {
		c.Items = append(c.Items, Checked{Key: key, Done: true})
	}
	return c
}

// checklistsOf records bodies of the north bath, so many hours after the start
// each, and reads what came of it.
func checklistsOf(t *testing.T, bodies ...hourly) *Checklists {
	t.Helper()
	r := openIn(t, t.TempDir())
	for _, b := range bodies {
		at := time.Duration(b.hour) * time.Hour
		appendTo(t, r, must(Of(at, nine.Add(at), b.bath, b.body)))
	}
	return must(r.Checklists(context.Background()))
}

type hourly struct {
	hour int
	bath string
	body Body
}

func begins(number string) Batch { return Batch{State: Opened, Number: number} }

// What was ticked before anything was in the pan belongs to the batch that begins next.
func TestAChecklistWaitsForItsBatch(t *testing.T) {
	c := checklistsOf(t, hourly{0, "north", ticked("", "gloves")}, hourly{1, "south", begins("s1")}, hourly{11, "north", begins("n1")})
	if got, ok := c.Of("n1"); !ok || got.Batch != "n1" || got.Seq != 1 || got.By != "Robin" || !got.Wall.Equal(nine) {
		t.Errorf("batch n1 has %+v, %v", got, ok)
	}
	if got, ok := c.Of("s1"); ok {
		t.Errorf("the other bath's batch has the checklist %+v", got)
	}
	if got, ok := c.Waiting("north", 11*time.Hour); ok {
		t.Errorf("%+v still waits", got)
	}
}

// The next batch may be prepared while the last one is not closed yet.
func TestAChecklistOutlastsTheClosingOfTheBatchBefore(t *testing.T) {
	c := checklistsOf(t, hourly{0, "north", begins("n1")}, hourly{1, "north", ticked("", "gloves")},
		hourly{2, "north", Batch{State: Closed, Number: "n1"}}, hourly{3, "north", begins("n2")})
	if got, ok := c.Of("n2"); !ok || got.Seq != 2 {
		t.Errorf("batch n2 has %+v, %v", got, ok)
	}
}

// A checklist of the day before says nothing of today's gloves.
func TestAnOldChecklistBelongsToNoBatch(t *testing.T) {
	c := checklistsOf(t, hourly{0, "north", ticked("", "gloves")}, hourly{13, "north", begins("n1")}, hourly{14, "north", begins("n2")})
	for _, number := range []string{"n1", "n2"} {
		if got, ok := c.Of(number); ok {
			t.Errorf("batch %s has %+v", number, got)
		}
	}
}

// Who goes through the list again means the second time.
func TestTheLastChecklistCounts(t *testing.T) {
	c := checklistsOf(t, hourly{0, "north", ticked("", "gloves")}, hourly{1, "north", begins("n1")}, hourly{2, "north", ticked("n1", "gloves", "lid")})
	if got, _ := c.Of("n1"); len(got.Items) != 2 || got.Seq != 3 {
		t.Errorf("batch n1 has %+v", got)
	}
}

// The words of the file stay as they are for ten years.
func TestTheWordsOfAChecklistInTheFile(t *testing.T) {
	b := Checklist{Batch: "b1", By: "AB", Items: []Checked{{Key: "gloves", Done: true}, {Key: "lid"}, {Key: "alarms", Done: true, Known: "Robin's phone at 08:40"}}}
	const want = `{"batch":"b1","items":[{"key":"gloves","done":true},{"key":"lid","done":false},{"key":"alarms","done":true,"known":"Robin's phone at 08:40"}],"by":"AB"}`
	e := must(Of(0, nine, "north", b))
	if string(e.Body) != want || !e.Kind.Known() {
		t.Errorf("got  %s\nwant %s", e.Body, want)
	}
	if _, ok, err := e.Input(); ok || err != nil {
		t.Errorf("the rules take a checklist in: %v, %v", ok, err)
	}
}

// A list that could be read in two ways is not recorded.
func TestAChecklistIsRefused(t *testing.T) {
	for want, b := range map[string]Checklist{
		"holds nothing": {}, "no key": ticked("", ""), `holds "lid" twice`: ticked("", "lid", "lid"),
	} {
		if _, err := Of(0, nine, "north", b); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: got %v, want %q", b, err, want)
		}
	}
}

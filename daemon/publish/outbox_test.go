package publish

import (
	"fmt"
	"slices"
	"testing"
	"time"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func lines(b batch) []string {
	var all []string
	for _, m := range b.messages {
		all = append(all, m.topic+"="+string(m.payload))
	}
	return all
}

func want(t *testing.T, b batch, messages ...string) {
	t.Helper()
	if got := lines(b); !slices.Equal(got, messages) {
		t.Errorf("the batch holds %q, want %q", got, messages)
	}
}

func said(topic, payload string, retained bool) message {
	return message{topic: topic, payload: []byte(payload), retained: retained}
}

func TestOfWhatStandsOnlyTheNewestIsSentOnce(t *testing.T) {
	o := newOutbox(10)
	o.put("oil_c", []byte("90"), noon)
	o.put("oil_c", []byte("91"), noon)
	b, _ := o.take(noon, 10)
	want(t, b, "oil_c=91")
	o.put("oil_c", []byte("91"), noon)
	b, next := o.take(noon, 10)
	want(t, b)
	if !next.IsZero() {
		t.Errorf("nothing waits, and yet something is due at %v", next)
	}
}

func TestWhatIsNotDueWaits(t *testing.T) {
	o := newOutbox(10)
	o.put("a", []byte("1"), noon.Add(2*time.Second))
	o.put("b", []byte("2"), noon.Add(time.Second))
	b, next := o.take(noon, 10)
	want(t, b)
	if next != noon.Add(time.Second) {
		t.Errorf("next is due at %v, want one second past noon", next)
	}
	b, _ = o.take(noon.Add(time.Second), 10)
	want(t, b, "b=2")
}

func TestWhatHappenedIsSentInOrderAndStaysUntilItArrived(t *testing.T) {
	o := newOutbox(10)
	for i := range 3 {
		o.tell(said("alarm/x", fmt.Sprint(i), true))
	}
	first, _ := o.take(noon, 2)
	want(t, first, "alarm/x=0", "alarm/x=1")
	o.done(first, 1) // the connection broke after the first
	again, _ := o.take(noon, 10)
	want(t, again, "alarm/x=1", "alarm/x=2")
	o.done(again, 2)
	b, _ := o.take(noon, 10)
	want(t, b)
}

func TestTheOldestIsGivenUpWhenTooMuchWaits(t *testing.T) {
	o := newOutbox(2)
	inFlight := 0
	for i := range 5 {
		if o.tell(said("alarm/x", fmt.Sprint(i), true)) > 0 {
			inFlight++
		}
	}
	if inFlight != 3 || o.droppedSoFar() != 3 {
		t.Errorf("%d times told of drops and %d dropped, want 3 and 3", inFlight, o.droppedSoFar())
	}
	b, _ := o.take(noon, 10)
	want(t, b, "alarm/x=3", "alarm/x=4")
}

func TestGivingUpTheLastNewsOfATopicStillSendsHowItStands(t *testing.T) {
	o := newOutbox(1)
	o.tell(said("alarm/x", "raised", true))
	o.tell(said("alarm/y", "raised", true))
	b, _ := o.take(noon, 10)
	want(t, b, "alarm/y=raised", "alarm/x=raised")
}

func TestGivingUpWhileABatchIsOnItsWayRemovesNothingElse(t *testing.T) {
	o := newOutbox(2)
	o.tell(said("a", "0", false))
	o.tell(said("a", "1", false))
	b, _ := o.take(noon, 10)
	o.tell(said("a", "2", false)) // gives up 0, which is on its way
	o.done(b, 1)                  // 0 arrived
	rest, _ := o.take(noon, 10)
	want(t, rest, "a=1", "a=2")
	o.done(rest, 9)
	if n := o.waiting(); n != 0 {
		t.Errorf("%d messages wait after all arrived", n)
	}
}

func TestANewConnectionIsToldAllThatStandsButNotAheadOfWhatHappened(t *testing.T) {
	o := newOutbox(10)
	o.put("oil_c", []byte("91"), noon)
	o.tell(said("alarm/x", "raised", true))
	b, _ := o.take(noon, 10)
	o.done(b, b.told)
	o.tell(said("alarm/y", "raised", true))
	o.tell(said("alarm/y", "normal", true))
	o.tell(said("answer", "done", false))
	o.refresh()
	b, _ = o.take(noon, 10)
	want(t, b, "alarm/y=raised", "alarm/y=normal", "answer=done", "oil_c=91", "alarm/x=raised")
}

func TestTheWorkerIsWokenOnceForManyMessages(t *testing.T) {
	o := newOutbox(10)
	o.put("a", []byte("1"), noon)
	o.tell(said("b", "2", false))
	<-o.wake
	select {
	case <-o.wake:
		t.Error("woken twice")
	default:
	}
}

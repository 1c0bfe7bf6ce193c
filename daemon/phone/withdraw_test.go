package phone_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone"
	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// Once a call has ended its notices are not tried any more; those of others are.
func TestWhatHasEndedIsNotSent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: down}
		d := open(t, phone.Options{}, w)
		both := raised("both", alarm.High, "phone")
		both.Calls, both.Contact = []string{callOf("1"), callOf("2")}, "Sorrel"
		d.Hand(raised("1", alarm.High, "phone"), raised("2", alarm.Medium, "phone"), both)
		pass(time.Second)
		d.Withdraw(callOf("1"))
		tried := len(w.begun())
		pass(time.Minute)
		wantResults(t, d, "1", "failed 1", "withdrawn 1")
		if len(w.starts("1", time.Now())) != 1 || len(w.begun()) == tried {
			t.Errorf("tried: %+v", w.begun())
		}
		w.fromNow(nil)
		d.Withdraw(callOf("2"))
		pass(time.Hour)
		if len(w.ids()) != 0 || d.Health()[0].Waiting != 0 {
			t.Errorf("arrived %v, health %+v", w.ids(), d.Health())
		}
	})
}

// A try under way is cancelled; if the far end had it already, that is said.
func TestATryUnderWayIsCancelled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		deaf := make(chan struct{})
		hanging := &wire{name: "hanging", does: hang}
		late := &wire{name: "late", does: func(context.Context, notice.Notice) (string, error) { <-deaf; return "", nil }}
		d := open(t, phone.Options{}, hanging, late)
		d.Hand(raised("1", alarm.High, "hanging"), raised("2", alarm.High, "late"))
		pass(time.Second)
		d.Withdraw(callOf("1"), callOf("2"))
		close(deaf)
		synctest.Wait()
		wantResults(t, d, "1", "withdrawn 1")
		wantResults(t, d, "2", "delivered 1")
	})
}

// That something is over, and a proof, are sent whatever has ended.
func TestNewsOfTheEndIsSent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone"}
		over, proof := raised("over", alarm.High, "phone"), raised("proof", alarm.Low, "phone")
		over.Kind, proof.Kind, proof.Calls = notice.Over, notice.Proof, nil
		d, err := phone.New(phone.Options{Channels: []notice.Channel{w}})
		if err != nil {
			t.Fatal(err)
		}
		d.Hand(over, proof)
		d.Withdraw(callOf("over"))
		ctx, stop := context.WithCancel(t.Context())
		go d.Run(ctx)
		pass(time.Second)
		stop()
		if len(w.ids()) != 2 {
			t.Errorf("arrived %v", w.ids())
		}
	})
}

// While the end of a call is being recorded no try about it begins. If it is
// recorded there will be none; if it cannot be, they go on.
func TestNothingLeavesWhileAnAnswerIsRecorded(t *testing.T) {
	for _, fails := range []error{nil, errors.New("the disk is full")} {
		t.Run(fmt.Sprint(fails), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				w := &wire{name: "phone"}
				d := open(t, phone.Options{}, w)
				err := d.Settle([]string{callOf("1")}, func() error {
					d.Hand(raised("1", alarm.Critical, "phone"), raised("2", alarm.Critical, "phone"))
					pass(10 * time.Second)
					if len(w.begun()) != 1 || w.begun()[0].ID != "2" {
						t.Errorf("meanwhile began %+v", w.begun())
					}
					return fails
				})
				pass(time.Minute)
				if want := map[bool]int{true: 1, false: 2}[fails == nil]; !errors.Is(err, fails) || len(w.ids()) != want {
					t.Errorf("%v; arrived %v, want %d", err, w.ids(), want)
				}
			})
		})
	}
}

// A phone that was away gets the newest notice of a call, not all of them; and
// the pause of the older one holds for the newer.
func TestANewerNoticeTakesTheOldersPlace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: down}
		d := open(t, phone.Options{}, w)
		d.Hand(raised("1", alarm.High, "phone"))
		for i := range 10 {
			pass(3 * time.Minute)
			again := raised("again-"+fmt.Sprint(i), alarm.High, "phone")
			again.Kind, again.Calls = notice.Again, []string{callOf("1")}
			d.Hand(again)
		}
		if n := len(w.begun()); n > 15 {
			t.Errorf("%d tries in half an hour", n)
		}
		w.fromNow(nil)
		pass(5 * time.Minute)
		if got := w.ids(); len(got) != 1 || got[0] != "again-9" {
			t.Errorf("arrived %v", got)
		}
		if n := d.Health()[0].Withdrawn; n != 10 {
			t.Errorf("%d withdrawn, want 10", n)
		}
	})
}

// A line that is full gives up the oldest quiet notice first, counts it, says it,
// and never a critical one before others.
func TestAFullLineGivesUpWhatIsWorthLeast(t *testing.T) {
	d, err := phone.New(phone.Options{Channels: []notice.Channel{&wire{name: "phone"}}, Capacity: 4})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range []phone.Errand{
		raised("critical", alarm.Critical, "phone"), raised("medium", alarm.Medium, "phone"),
		quiet(raised("quiet-1", alarm.Medium, "phone")), quiet(raised("quiet-2", alarm.Medium, "phone")),
		raised("loud-1", alarm.Medium, "phone"), raised("loud-2", alarm.High, "phone"), raised("loud-3", alarm.High, "phone"),
	} {
		d.Hand(e)
	}
	var gone []string
	for _, o := range d.Outcomes() {
		gone = append(gone, o.Notice+" "+o.Result.String())
	}
	if fmt.Sprint(gone) != "[quiet-1 gave-up quiet-2 gave-up medium gave-up]" {
		t.Errorf("given up: %v", gone)
	}
	if h := d.Health()[0]; h.Dropped != 3 || h.Waiting != 4 {
		t.Errorf("health %+v", h)
	}
}

// A desk that ends cuts off the tries under way, and says nothing of them: the
// next one will try again.
func TestTheEndCutsTriesOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d, err := phone.New(phone.Options{Channels: []notice.Channel{&wire{name: "phone", does: hang}}})
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan struct{})
		go func() { d.Run(ctx); close(ended) }()
		d.Hand(raised("1", alarm.High, "phone"))
		pass(time.Second)
		stop()
		<-ended
		if o := d.Outcomes(); len(o) != 0 {
			t.Errorf("outcomes %+v", o)
		}
	})
}

// A notice whose picture is still being drawn when somebody answers is not sent.
func TestTheLastLookIsRightBeforeSending(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone"}
		d := open(t, phone.Options{Finish: func(n notice.Notice, _ []string) notice.Notice {
			time.Sleep(5 * time.Second)
			return n
		}}, w)
		d.Hand(raised("1", alarm.Critical, "phone"), raised("2", alarm.Critical, "phone"))
		pass(4 * time.Second)
		_ = d.Settle([]string{callOf("1")}, func() error { pass(3 * time.Second); return nil })
		err := d.Settle([]string{callOf("2")}, func() error { pass(3 * time.Second); return errDown })
		pass(time.Minute)
		if len(w.starts("1", time.Now())) != 0 || len(w.starts("2", time.Now())) != 1 || !errors.Is(err, errDown) {
			t.Errorf("sent %+v", w.begun())
		}
		wantResults(t, d, "1", "withdrawn 0")
		wantResults(t, d, "2", "delivered 1")
	})
}

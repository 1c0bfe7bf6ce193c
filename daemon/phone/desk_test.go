package phone_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// A notice is delivered once, with its link, and the outcome stays until kept.
func TestANoticeIsDeliveredOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone"}
		d := open(t, phone.Options{Finish: func(n notice.Notice, ids []string) notice.Notice {
			n.Link = "https://alder-yard.example/answer/" + ids[0]
			return n
		}}, w)
		d.Hand(raised("1", alarm.High, "phone"), raised("1", alarm.High, "phone"))
		<-d.Ready()
		pass(time.Hour)
		if len(w.ids()) != 1 || w.arrived[0].Link != "https://alder-yard.example/answer/"+callOf("1") {
			t.Errorf("arrived: %+v", w.arrived)
		}
		want := calls.Tried{Notice: "1", Try: 1, Result: calls.Delivered, Said: "ok"}
		for range 2 {
			if got := d.Outcomes(); len(got) != 1 || got[0] != want {
				t.Errorf("outcomes %+v, want %+v", got, want)
			}
		}
		d.Hand(raised("2", alarm.High, "phone"))
		pass(time.Second)
		d.Kept(1)
		if got := d.Outcomes(); len(got) != 1 || got[0].Notice != "2" {
			t.Errorf("outcomes after the first was kept: %+v", got)
		}
	})
}

// The pause between tries doubles from two seconds to five minutes.
func TestPausesDouble(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: down}
		d := open(t, phone.Options{}, w)
		start := time.Now()
		d.Hand(raised("1", alarm.Critical, "phone"))
		pass(20 * time.Minute)
		want := []time.Duration{0, 2, 6, 14, 30, 62, 126, 254, 510, 810, 1110}
		for i := range want {
			want[i] *= time.Second
		}
		if got := w.starts("1", start); !slices.Equal(got, want) {
			t.Errorf("tried after %v, want %v", got, want)
		}
		if o := d.Outcomes()[2]; o.Try != 3 || o.Result != calls.Failed || o.Said != errDown.Error() || o.Next != 8*time.Second {
			t.Errorf("the third try: %+v", o)
		}
		if h := d.Health()[0]; !h.FailingSince.Equal(start) || h.LastError != errDown.Error() || h.Failed != 11 || h.Waiting != 1 {
			t.Errorf("health %+v", h)
		}
	})
}

func busy(after time.Duration) func(context.Context, notice.Notice) (string, error) {
	return func(context.Context, notice.Notice) (string, error) {
		return "", &notice.Failure{Err: errors.New("429"), After: after}
	}
}

// A far end that asks for a pause gets it, from everything that can wait; a
// grave notice that it has not seen is tried nevertheless.
func TestAFarEndThatAsksForAPauseGetsIt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: busy(time.Minute)}
		d := open(t, phone.Options{}, w)
		start := time.Now()
		d.Hand(raised("1", alarm.Medium, "phone"))
		pass(time.Second)
		d.Hand(raised("2", alarm.Medium, "phone"))
		pass(29 * time.Second)
		d.Hand(raised("3", alarm.Critical, "phone"))
		pass(59 * time.Second)
		for id, want := range map[string][]time.Duration{"1": {0}, "2": nil, "3": {30 * time.Second}} {
			if got := w.starts(id, start); !slices.Equal(got, want) {
				t.Errorf("notice %s was tried after %v, want %v", id, got, want)
			}
		}
		w.fromNow(nil)
		pass(2 * time.Second)
		if len(w.ids()) != 3 {
			t.Errorf("after the pause arrived %v", w.ids())
		}
	})
}

// Who asks for ten hours gets a quarter of one: somebody may be waiting.
func TestAFarEndCannotAskForHours(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: busy(10 * time.Hour)}
		d := open(t, phone.Options{}, w)
		start := time.Now()
		d.Hand(raised("1", alarm.Critical, "phone"))
		pass(31 * time.Minute)
		if got, want := w.starts("1", start), []time.Duration{0, 15 * time.Minute, 30 * time.Minute}; !slices.Equal(got, want) {
			t.Errorf("tried after %v, want %v", got, want)
		}
	})
}

// What cannot succeed is given up at once.
func TestAFinalFailureIsFinal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: func(context.Context, notice.Notice) (string, error) {
			return "", fmt.Errorf("push: %w", &notice.Failure{Err: errors.New("410 gone"), Final: true})
		}}
		d := open(t, phone.Options{}, w)
		d.Hand(raised("1", alarm.Critical, "phone"))
		pass(time.Hour)
		wantResults(t, d, "1", "gave-up 1")
	})
}

// A notice is given up after six hours, a critical one after a day, and what was
// tried before a restart counts.
func TestWhatIsOldIsGivenUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := open(t, phone.Options{}, &wire{name: "phone", does: down})
		start := time.Now()
		resumed := phone.Resumed(calls.Waiting{Due: raised("3", alarm.Low, "phone").Due, Since: time.Hour, Tries: 7}, 6*time.Hour)
		d.Hand(raised("1", alarm.High, "phone"), raised("2", alarm.Critical, "phone"), resumed)
		gone := map[string]time.Duration{}
		for time.Since(start) < 25*time.Hour {
			<-d.Ready()
			for _, o := range d.Outcomes() {
				if o.Result == calls.GaveUp {
					gone[o.Notice] = time.Since(start)
				}
			}
			d.Kept(len(d.Outcomes()))
			if len(gone) == 3 {
				break
			}
		}
		for id, want := range map[string]time.Duration{"1": 6 * time.Hour, "2": 24 * time.Hour, "3": time.Hour} {
			if got := gone[id]; got > want || got < want-6*time.Minute {
				t.Errorf("notice %s was given up after %s, want shortly before %s", id, got, want)
			}
		}
		if h := d.Health()[0]; h.GaveUp != 3 || h.Waiting != 0 {
			t.Errorf("health %+v", h)
		}
	})
}

// What is too old when it is handed over, or grows so while it waits its turn, is
// given up without a try.
func TestWhatIsTooOldToBeNewsIsNotSent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone"}
		d := open(t, phone.Options{}, w)
		d.Hand(phone.Resumed(calls.Waiting{Due: raised("1", alarm.High, "phone").Due, Since: time.Hour, Tries: 7}, 8*time.Hour))
		pass(time.Second)
		wantResults(t, d, "1", "gave-up 7")
		if len(w.begun()) != 0 {
			t.Errorf("sent %+v", w.begun())
		}
	})
}

// A notice that fails again and again keeps no other from its turn.
func TestEveryNoticeHasItsTurn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: busy(time.Minute)}
		d := open(t, phone.Options{}, w)
		d.Hand(raised("1", alarm.Medium, "phone"), raised("2", alarm.Medium, "phone"), raised("3", alarm.Medium, "phone"))
		pass(3*time.Minute - time.Second)
		for _, id := range []string{"1", "2", "3"} {
			if n := len(w.starts(id, time.Now())); n != 1 {
				t.Errorf("notice %s was tried %d times in three minutes", id, n)
			}
		}
	})
}

// A channel that hangs delays no other one, and Hand not at all.
func TestAChannelThatHangsDelaysNobody(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		dead, alive := &wire{name: "dead", does: hang}, &wire{name: "alive"}
		d := open(t, phone.Options{}, dead, alive)
		start := time.Now()
		for i := range 50 {
			d.Hand(raised(fmt.Sprint("d", i), alarm.Critical, "dead"), raised(fmt.Sprint("a", i), alarm.Critical, "alive"))
		}
		synctest.Wait()
		if n := len(alive.ids()); n != 50 || time.Since(start) != 0 {
			t.Errorf("%d of 50 arrived after %s", n, time.Since(start))
		}
		pass(15 * time.Second)
		if o := d.Outcomes(); len(o) != 52 || o[50].Result != calls.Failed || o[50].Said != "no answer within 15s" {
			t.Errorf("after the timeout: %+v", o[50:])
		}
	})
}

// Within a channel a grave notice never waits for a lesser one that hangs, and
// for two grave ones that hang no longer than a try may take.
func TestAGraveNoticeOvertakesWhatHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone"}
		w.does = func(ctx context.Context, n notice.Notice) (string, error) {
			if strings.HasPrefix(n.ID, "hangs") {
				return hang(ctx, n)
			}
			return "", nil
		}
		d := open(t, phone.Options{}, w)
		start := time.Now()
		d.Hand(raised("hangs-1", alarm.Medium, "phone"), raised("hangs-2", alarm.Medium, "phone"))
		pass(time.Second)
		d.Hand(raised("lesser", alarm.Medium, "phone"), raised("grave", alarm.High, "phone"))
		synctest.Wait()
		if got := w.starts("grave", start); len(got) != 1 || got[0] != time.Second {
			t.Errorf("the grave one was tried after %v", got)
		}
		pass(time.Minute) // the line is empty but for what hangs
		d.Hand(raised("hangs-3", alarm.Critical, "phone"), raised("hangs-4", alarm.Critical, "phone"))
		pass(time.Second)
		handed := time.Now()
		d.Hand(raised("critical", alarm.Critical, "phone"))
		pass(time.Minute)
		if got := w.starts("critical", handed); len(got) != 1 || got[0] > phone.DefaultTimeout {
			t.Errorf("the critical one was tried %v after it was handed over", got)
		}
	})
}

// The graver is sent first, of two as grave the older; that something is over
// comes last.
func TestTheGraverGoesFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: func(context.Context, notice.Notice) (string, error) {
			time.Sleep(time.Millisecond)
			return "", nil
		}}
		over := raised("over", alarm.Critical, "phone")
		over.Kind, over.Calls = notice.Over, []string{"south/dish-bare/0"}
		d := open(t, phone.Options{}, w)
		d.Hand(raised("first", alarm.Low, "phone"))
		synctest.Wait()
		d.Hand(over, raised("low", alarm.Low, "phone"), raised("medium-1", alarm.Medium, "phone"), raised("medium-2", alarm.Medium, "phone"))
		pass(time.Second)
		if want := []string{"first", "medium-1", "medium-2", "low", "over"}; !slices.Equal(w.ids(), want) {
			t.Errorf("arrived in the order %v, want %v", w.ids(), want)
		}
		d.Hand(raised("a", alarm.High, "phone"), raised("b", alarm.Critical, "phone"), raised("c", alarm.Critical, "phone"))
		pass(time.Second)
		if got := w.ids()[5:]; slices.Index(got, "a") != 2 {
			t.Errorf("arrived in the order %v, want the critical ones before", got)
		}
	})
}

// A channel that does not heed the end of its try is let go; it cannot stop the
// desk, and not many tries are wasted on it.
func TestAChannelThatHeedsNothingIsLetGo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		free := make(chan struct{})
		w := &wire{name: "phone", does: func(context.Context, notice.Notice) (string, error) {
			<-free
			return "", errDown
		}}
		d := open(t, phone.Options{}, w)
		for i := range 20 {
			d.Hand(raised(fmt.Sprint(i), alarm.Critical, "phone"))
		}
		pass(10 * time.Minute)
		if n := len(w.begun()); n > 10 {
			t.Errorf("%d sends hang at once", n)
		}
		if o := d.Outcomes(); len(o) == 0 || o[0].Said != "no answer within 15s" {
			t.Errorf("outcomes %+v", o)
		}
		w.fromNow(nil)
		close(free)
		pass(10 * time.Minute)
		if n := len(w.ids()); n != 20 {
			t.Errorf("%d of 20 arrived once it was mended", n)
		}
	})
}

// A channel that panics fails like any other.
func TestAChannelThatPanicsEndsNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{name: "phone", does: func(_ context.Context, n notice.Notice) (string, error) { panic("no such field") }}
		d := open(t, phone.Options{}, w)
		d.Hand(raised("1", alarm.Critical, "phone"))
		pass(time.Second)
		if o := d.Outcomes(); len(o) != 1 || o[0].Result != calls.Failed || o[0].Said != "the channel panicked: no such field" {
			t.Errorf("outcomes %+v", o)
		}
	})
}

// Whatever a channel lets slip, no secret comes out of the desk.
func TestNoSecretComesOut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const token = "t0psecret-9f2a"
		w := &wire{name: "phone", does: func(context.Context, notice.Notice) (string, error) {
			return "", errors.New("post https://host.example/" + token + ": refused")
		}}
		d := open(t, phone.Options{Secrets: []notice.Secret{notice.NewSecret(token)}}, w)
		d.Hand(raised("1", alarm.High, "phone"))
		pass(time.Second)
		if said := d.Outcomes()[0].Said + d.Health()[0].LastError; strings.Contains(said, token) || !strings.Contains(said, "refused") {
			t.Errorf("it said %q", said)
		}
	})
}

// What is for a channel that the site file names no more is given up, and said.
func TestAChannelThatIsGoneIsSaid(t *testing.T) {
	d, err := phone.New(phone.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d.Hand(raised("1", alarm.High, "old-phone"))
	if o := d.Outcomes(); len(o) != 1 || o[0].Result != calls.GaveUp {
		t.Errorf("outcomes %+v", o)
	}
}

func TestChannelsNeedNamesOfTheirOwn(t *testing.T) {
	for _, channels := range [][]notice.Channel{{nil}, {&wire{name: "a"}, &wire{name: "a"}}} {
		if _, err := phone.New(phone.Options{Channels: channels}); err == nil {
			t.Errorf("%v was taken", channels)
		}
	}
}

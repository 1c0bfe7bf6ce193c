package alive_test

import (
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone/alive"
	"bainward/daemon/phone/notice"
)

func expect(t *testing.T, got []time.Duration, seconds ...float64) {
	t.Helper()
	var want []time.Duration
	for _, s := range seconds {
		want = append(want, time.Duration(s*float64(time.Second)))
	}
	if !slices.Equal(got, want) {
		t.Errorf("called at %v, want %v", got, want)
	}
}

// While all is well the address is called at once and then every minute.
func TestItBeatsWhileAllIsWell(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h, l, j, _ := start(t, alive.Options{})
		time.Sleep(200 * time.Second)
		expect(t, l.heard(), 0, 60, 120, 180)
		c := h.Counts()
		if c.Calls != 4 || c.Failures != 0 || !c.Well || c.Err != nil || !c.LastGood.Equal(l.start.Add(3*time.Minute)) {
			t.Errorf("counted %+v", c)
		}
		if l.method != http.MethodGet || j.count("\n") != 0 {
			t.Errorf("method %s, log %q", l.method, j.text.String())
		}
	})
}

// Silence is the alarm: what is not well is not told, and logged once.
func TestItIsSilentWhileSomethingIsWrong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var sick atomic.Bool
		h, l, j, _ := start(t, alive.Options{Every: 10 * time.Second, Method: http.MethodPost, Well: func() (bool, string) {
			return !sick.Load(), "the disk is full"
		}})
		time.Sleep(15 * time.Second)
		sick.Store(true)
		time.Sleep(60 * time.Second)
		expect(t, l.heard(), 0, 10)
		if c := h.Counts(); c.Well || c.Why != "the disk is full" || c.Withheld != 6 || c.Calls != 2 {
			t.Errorf("counted %+v", c)
		}
		sick.Store(false)
		time.Sleep(10 * time.Second)
		expect(t, l.heard(), 80)
		if c := h.Counts(); !c.Well || c.Why != "" {
			t.Errorf("counted %+v", c)
		}
		if j.count("withheld") != 1 || j.count("the disk is full") != 1 || j.count("all is well again") != 1 {
			t.Errorf("logged %q", j.text.String())
		}
		if l.method != http.MethodPost {
			t.Errorf("method %s", l.method)
		}
	})
}

// A call that fails is made once more soon; an outage is logged once, without
// the address, and its end too.
func TestAFailedCallIsMadeOnceMore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h, l, j, _ := start(t, alive.Options{})
		l.answers(status(http.StatusInternalServerError))
		time.Sleep(150 * time.Second)
		expect(t, l.heard(), 0, 15, 60, 75, 120, 135)
		c := h.Counts()
		if c.Calls != 6 || c.Failures != 6 || !c.LastGood.IsZero() || c.Err == nil ||
			c.Err.Error() != "call the heartbeat's address: it answered 500 Internal Server Error" {
			t.Errorf("counted %+v", c)
		}
		l.answers(nil)
		time.Sleep(100 * time.Second)
		expect(t, l.heard(), 180, 240)
		if c := h.Counts(); c.Calls != 8 || c.Failures != 6 || c.Err != nil {
			t.Errorf("counted %+v", c)
		}
		if j.count("does not arrive") != 1 || j.count("arrives again") != 1 {
			t.Errorf("logged %q", j.text.String())
		}
	})
}

// One that hangs is given up after ten seconds, and delays no later beat.
func TestAHangingCallIsGivenUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h, l, _, _ := start(t, alive.Options{})
		l.answers(hangs)
		time.Sleep(9 * time.Second)
		if c := h.Counts(); c.Calls != 0 {
			t.Errorf("given up early: %+v", c)
		}
		time.Sleep(2 * time.Second)
		if c := h.Counts(); c.Failures != 1 || c.Err.Error() != "call the heartbeat's address: no answer in time" {
			t.Errorf("counted %+v", c)
		}
		time.Sleep(55 * time.Second)
		expect(t, l.heard(), 0, 25, 60)
	})
}

// The end of the daemon is no failure of the far end.
func TestTheEndIsNoFailure(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h, l, j, end := start(t, alive.Options{})
		l.answers(hangs)
		synctest.Wait()
		end()
		if c := h.Counts(); c.Failures != 0 || j.count("\n") != 0 {
			t.Errorf("counted %+v, logged %q", c, j.text.String())
		}
	})
}

// What cannot work is refused when it is made, in words without the address.
func TestNewRefusesWhatIsWrong(t *testing.T) {
	well := func() (bool, string) { return true, "" }
	https := notice.NewSecret(address)
	for want, o := range map[string]alive.Options{
		"URL is missing": {Well: well},
		"URL is no address that begins with https:// or http://": {Well: well, URL: notice.NewSecret("ftp://t0psecret-41c7.example/x")},
		"beat every 1ms: Every must be at least 1s":              {Well: well, URL: https, Every: time.Millisecond},
		`method "PUT" must be GET or POST`:                       {Well: well, URL: https, Method: "PUT"},
		"nobody says whether all is well: Well is missing":       {URL: https},
	} {
		_, err := alive.New(o)
		if err == nil || err.Error() != "make heartbeat: "+want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	for _, bad := range []string{"://t0psecret-41c7", "t0psecret-41c7", "https:///t0psecret-41c7", "https://x\x7f/t0psecret-41c7"} {
		if _, err := alive.New(alive.Options{Well: well, URL: notice.NewSecret(bad)}); err == nil || strings.Contains(err.Error(), "t0psecret") {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

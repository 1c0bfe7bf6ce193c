package cutout_test

import (
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/cutout"
)

func socket(t *testing.T, o cutout.SocketOptions) *cutout.Socket {
	t.Helper()
	o.Topic = "workshop/socket1/set"
	s, err := cutout.NewSocket(o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// On is repeated and never retained; off comes at once, is repeated, and is
// retained, so that who comes late finds it.
func TestASocketIsToldAgainAndAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, end := run(t, cutout.Options{Output: socket(t, cutout.SocketOptions{Publish: r.publish, Every: 4 * time.Second})})
		for i := range 12 {
			if i > 0 {
				c.Poll(good)
			}
			time.Sleep(time.Second)
		}
		c.Poll(dry)
		time.Sleep(5 * time.Second)
		c.Poll(good)
		end()
		const topic = "workshop/socket1/set"
		r.expect(t,
			"0s "+topic+" OFF retained=true",
			"1s "+topic+" ON retained=false",
			"5s "+topic+" ON retained=false",
			"9s "+topic+" ON retained=false",
			"12s "+topic+" OFF retained=true",
			"16s "+topic+" OFF retained=true",
		)
	})
}

// A daemon that ends takes the permission back, at once.
func TestASocketIsToldOffAtTheEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, end := run(t, cutout.Options{Output: socket(t, cutout.SocketOptions{Publish: r.publish})})
		c.Poll(good)
		time.Sleep(time.Second)
		end()
		r.expect(t, "0s workshop/socket1/set OFF retained=true", "0s workshop/socket1/set ON retained=false", "1s workshop/socket1/set OFF retained=true")
	})
}

// A broker that takes nothing is tried again, and what is said then is what
// holds then.
func TestASocketThatWasNotToldIsToldSoon(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, _ := run(t, cutout.Options{Output: socket(t, cutout.SocketOptions{Publish: r.publish, On: "1", Off: "0"})})
		c.Poll(good)
		r.expect(t, "0s workshop/socket1/set 0 retained=true", "0s workshop/socket1/set 1 retained=false")
		r.fails(errBus)
		time.Sleep(2 * time.Second)
		c.Poll(dry)
		time.Sleep(700 * ms)
		r.fails(nil)
		time.Sleep(300 * ms)
		r.expect(t, "3s workshop/socket1/set 0 retained=true")
	})
}

// A broker that hangs keeps nobody waiting who polls or resets.
func TestAHangingBrokerDelaysNoPoll(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		free := make(chan struct{})
		hangs := func(string, string, bool) error { <-free; return nil }
		c, _ := run(t, cutout.Options{Output: socket(t, cutout.SocketOptions{Publish: hangs})})
		begun := time.Now()
		c.Poll(dry)
		c.Poll(good)
		if err := c.Reset("Robin"); err != nil {
			t.Error(err)
		}
		if waited := time.Since(begun); waited != 0 {
			t.Errorf("waited %v", waited)
		}
		close(free)
	})
}

// The last will is off, retained, at the same topic.
func TestTheLastWillIsOff(t *testing.T) {
	s := socket(t, cutout.SocketOptions{Publish: newRecorder().publish, Off: "stop"})
	if topic, payload, retain := s.Will(); topic != "workshop/socket1/set" || payload != "stop" || !retain {
		t.Errorf("the will is %q at %q, retained %t", payload, topic, retain)
	}
}

// What cannot work is refused when it is made.
func TestNewSocketRefusesWhatIsWrong(t *testing.T) {
	publish := newRecorder().publish
	for want, o := range map[string]cutout.SocketOptions{
		"make socket: Topic is missing":                                        {Publish: publish},
		`make socket: On and Off are both "ON": a socket must tell them apart`: {Topic: "a", Off: "ON", Publish: publish},
		"make socket: Every is -1s":                                            {Topic: "a", Every: -time.Second, Publish: publish},
		"make socket: Publish is missing":                                      {Topic: "a"},
	} {
		if _, err := cutout.NewSocket(o); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

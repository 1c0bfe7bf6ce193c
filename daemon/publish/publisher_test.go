package publish

import (
	"context"
	"encoding/json"
	"errors"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

const site = "bainward/alder-yard"

func bare(from, to alarm.State) Change {
	return Change{Bath: "north", Wall: noon, Change: alarm.Change{Alarm: rules.DishBare, From: from, To: to, Priority: alarm.High}}
}

func TestWhoeverComesLateFindsTheState(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		p := publisher(t, address, nil)
		defer stop(t, p)
		early := listen(t, address)
		p.Announce([]fold.Snapshot{simmering()}, []Change{bare(alarm.Normal, alarm.Unacknowledged)})
		early.hearAll(t, "/status", "/north/state", "/north/water_kg", "/north/alarm/warm-bottling", "/north/alarm/dish-bare")

		late := listen(t, address)
		got := map[string]string{}
		for len(got) < 20 { // status, state, eight plain topics with a value, ten alarms
			m := late.hear(t, "", "")
			if !m.Retained() || len(m.Payload()) == 0 {
				t.Errorf("%s: %q, retained %v", m.Topic(), m.Payload(), m.Retained())
			}
			got[strings.TrimPrefix(m.Topic(), site+"/")] = string(m.Payload())
		}
		for topic, want := range map[string]string{
			"status":        "online",
			"north/oil_c":   "91.8125",
			"north/hold_s":  "3120",
			"north/phase":   "holding",
			"north/bath_c":  "", // no trusted value: nothing is kept
			"north/room_c":  "",
			"north/boiling": "",
		} {
			if got[topic] != want {
				t.Errorf("%s is %q, want %q", topic, got[topic], want)
			}
		}
	})
}

func TestAlarmsOfARunBeforeAreOverwritten(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		e := listen(t, address)
		e.say(t, site+"/north/alarm/overheating", `{"state":"unacknowledged"}`, true)
		p := publisher(t, address, nil)
		defer stop(t, p)
		p.Announce([]fold.Snapshot{simmering()}, nil)
		e.hear(t, "/north/alarm/overheating", `"state":"normal"`)
		e.hear(t, "/north/alarm/warm-bottling", `"state":"normal"`)
	})
}

func TestChangesOfAnAlarmArriveInOrderAndAreNotMerged(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		e := listen(t, address)
		p := publisher(t, address, nil)
		defer stop(t, p)
		states := []alarm.State{
			alarm.Normal, alarm.Unacknowledged, alarm.ReturnedUnacknowledged, alarm.Unacknowledged,
			alarm.Acknowledged, alarm.Normal, alarm.Unacknowledged,
		}
		for i := range states[1:] {
			p.Announce([]fold.Snapshot{simmering()}, []Change{bare(states[i], states[i+1])})
		}
		for i, want := range states[1:] {
			m := e.hear(t, "/north/alarm/dish-bare", "")
			var d struct{ From, State string }
			if err := json.Unmarshal(m.Payload(), &d); err != nil {
				t.Fatal(err)
			}
			if d.From != states[i].String() || d.State != want.String() {
				t.Errorf("change %d is from %s to %s, want from %v to %v", i, d.From, d.State, states[i], want)
			}
		}
	})
}

func TestAnOrderlyStopSendsWhatWaitsAndSaysOffline(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		e := listen(t, address)
		p := publisher(t, address, nil)
		e.hear(t, "/status", "online")
		p.Announce([]fold.Snapshot{simmering()}, nil)
		last := simmering()
		last.Sentence = "The last word." // not yet due, and nothing of note changed
		p.Announce([]fold.Snapshot{last}, nil)
		stop(t, p)
		e.hear(t, "/north/state", "The last word.")
		if m := e.hear(t, "/status", ""); string(m.Payload()) != "offline" {
			t.Errorf("after the last state the status is %q, want offline", m.Payload())
		}
		late := listen(t, address)
		late.hear(t, "/status", "offline")
	})
}

func TestACutCableLetsTheBrokerSayOffline(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		e := listen(t, address)
		cable := layCable(t, address)
		p := publisher(t, cable.address(), func(o *Options) { o.Retry = time.Hour })
		defer stop(t, p)
		e.hear(t, "/status", "online")
		cable.cut()
		if m := e.hear(t, "/status", "offline"); m.Retained() {
			t.Error("offline was there before the cable was cut")
		}
	})
}

func TestAStopThatRunsOutOfTimeLeavesTheWillToSpeak(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		e := listen(t, address)
		cable := layCable(t, address)
		p := publisher(t, cable.address(), nil)
		e.hear(t, "/status", "online")
		cable.swallow() // nothing goes through any more, and nothing is closed
		p.Announce([]fold.Snapshot{simmering()}, nil)
		ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
		defer cancel()
		if err := p.Stop(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("Stop says %v, want that it broke off", err)
		}
		e.hear(t, "/status", "offline")
	})
}

func TestARestartedBrokerIsToldEverythingAgainAndObeyedAgain(t *testing.T) {
	eachBroker(t, func(t *testing.T, b testBroker, address string) {
		done := make(chan Command, 10)
		p := publisher(t, address, func(o *Options) {
			o.AllowCommands = true
			o.OnCommand = func(_ context.Context, c Command) error { done <- c; return nil }
		})
		defer stop(t, p)
		e := listen(t, address)
		p.Announce([]fold.Snapshot{simmering()}, nil)
		e.hear(t, "/north/state", "holding")

		b.stop(t)
		await(t, "the publisher to notice", func() bool { return !p.Connected() })
		p.Announce(nil, []Change{bare(alarm.Normal, alarm.Unacknowledged)}) // while it is away
		p.Announce(nil, []Change{bare(alarm.Unacknowledged, alarm.Acknowledged)})
		b.start(t, address)
		await(t, "the publisher to come back", p.Connected)

		e = listen(t, address)
		e.hear(t, "/north/state", "holding")
		e.say(t, site+"/north/do", "acknowledge dish-bare", false)
		e.hear(t, "/north/answer", `"done":1`)
		if c := <-done; c.Alarm.Alarm != rules.DishBare || c.Bath != "north" {
			t.Errorf("the order became %+v", c)
		}
		late := listen(t, address)
		late.hear(t, "/north/alarm/dish-bare", `"state":"acknowledged"`)
		if n := p.Dropped(); n != 0 {
			t.Errorf("%d messages were given up over a restart", n)
		}
	})
}

// A broker that takes a connection and never says a word is the worst case: no
// error ends the wait.
func TestABrokerThatIsAwayNeverHoldsUpAPoll(t *testing.T) {
	silent, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer silent.Close()
	for name, address := range map[string]string{"nobody listens": freeAddress(t), "nobody answers": silent.Addr().String()} {
		t.Run(name, func(t *testing.T) {
			var mu sync.Mutex
			dropped := 0
			p := publisher(t, address, func(o *Options) {
				o.Limit = 100
				o.OnDrop = func(n int) { mu.Lock(); dropped += n; mu.Unlock() }
			})
			begun := time.Now()
			const polls = 1000
			for range polls {
				p.Announce([]fold.Snapshot{simmering()}, []Change{bare(alarm.Normal, alarm.Unacknowledged)})
			}
			if took := time.Since(begun); took > 5*time.Second { // a poll has a second
				t.Errorf("%d announcements took %v", polls, took)
			}
			mu.Lock()
			defer mu.Unlock()
			if dropped != polls-100 || p.Dropped() != polls-100 {
				t.Errorf("told of %d drops and counted %d, want %d", dropped, p.Dropped(), polls-100)
			}
			// 100 changes, one state, ten plain topics, nine other alarms
			if n := p.outbox.waiting(); n != 120 {
				t.Errorf("%d messages wait, want 120", n)
			}
			stop(t, p)
		})
	}
}

func TestOrdersAreRefusedUnlessTheyAreAllowedAndSound(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		p := publisher(t, address, func(o *Options) {
			o.AllowCommands = true
			o.OnCommand = func(_ context.Context, c Command) error {
				if c.Bath != "north" {
					return errors.New("no bath of this name")
				}
				return nil
			}
		})
		defer stop(t, p)
		e := listen(t, address)
		e.hear(t, "/status", "online")
		for _, o := range []struct{ bath, order, answer string }{
			{"north", "turn-down", `"done":1}`},
			{"north", "light; set fire", `"done":0,"error":"unknown event \"set fire\"`},
			{"west", "light", `"done":0,"error":"no bath of this name"`},
			{"north", "", `empty`},
		} {
			e.say(t, site+"/"+o.bath+"/do", o.order, false)
			m := e.hear(t, "/"+o.bath+"/answer", o.answer)
			if m.Retained() {
				t.Errorf("the answer to %q is retained", o.order)
			}
		}
	})
}

// A retained order would be given anew at every connection.
func TestAnOrderThatTheBrokerKeptIsRefused(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		e := listen(t, address)
		e.say(t, site+"/north/do", "light", true)
		e.hear(t, "/north/do", "light") // from here on the broker passes it on as retained
		p := publisher(t, address, func(o *Options) {
			o.AllowCommands = true
			o.OnCommand = func(context.Context, Command) error {
				t.Error("a retained order was carried out")
				return nil
			}
		})
		defer stop(t, p)
		e.hear(t, "/north/answer", "retain flag")
	})
}

func TestWithoutPermissionNoOrderIsEvenHeard(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		p := publisher(t, address, func(o *Options) {
			o.OnCommand = func(context.Context, Command) error {
				t.Error("an order was carried out")
				return nil
			}
		})
		e := listen(t, address)
		e.hear(t, "/status", "online")
		e.say(t, site+"/north/do", "light", false)
		stop(t, p) // everything on its way has arrived when it returns
		e.hear(t, "/status", "offline")
	})
}

// cable carries one address to another until it is cut.
type cable struct {
	listener net.Listener
	mu       sync.Mutex
	conns    []net.Conn
	dead     bool
}

func layCable(t *testing.T, to string) *cable {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c := &cable{listener: l}
	t.Cleanup(c.cut)
	go c.carry(to)
	return c
}

func (c *cable) address() string { return c.listener.Addr().String() }

func (c *cable) carry(to string) {
	for {
		near, err := c.listener.Accept()
		if err != nil {
			return
		}
		far, err := net.Dial("tcp", to)
		if err != nil {
			near.Close()
			continue
		}
		c.mu.Lock()
		c.conns = append(c.conns, near, far)
		c.mu.Unlock()
		go c.copy(far, near)
		go c.copy(near, far)
	}
}

// copy carries bytes, and the end of the connection.
func (c *cable) copy(to, from net.Conn) {
	defer to.Close()
	buffer := make([]byte, 4096)
	for {
		n, err := from.Read(buffer)
		if err != nil {
			return
		}
		c.mu.Lock()
		dead := c.dead
		c.mu.Unlock()
		if dead {
			continue
		}
		if _, err := to.Write(buffer[:n]); err != nil {
			return
		}
	}
}

// swallow lets nothing through any more without closing anything.
func (c *cable) swallow() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.dead = true
}

// cut ends all connections on both sides without a word of MQTT.
func (c *cable) cut() {
	c.listener.Close()
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, conn := range c.conns {
		conn.Close()
	}
}

package app

import (
	"context"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/phone/notice"
	"bainward/daemon/phone/webhook"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// stoves is how many baths the workshop has whose daemon is killed.
const stoves = 24

// pace is the time between two polls, by the child's clock.
const pace = 3 * time.Second

// crew is a workshop in trouble, as one process: a whole daemon, the baths that
// it watches and the people who answer it. A poll is a second, and comes as soon
// as the one before is done.
type crew struct {
	app    *App
	links  *link.Desk
	stoves []stove
	spells []spell
	probes shelf
	up     atomic.Int64 // uptime of the machine, ns
	rests  bool         // all baths are well, and everything told is answered
	end    context.CancelFunc

	mu    sync.Mutex
	heard []heard
	out   sync.Mutex // over standard output
}

// heard is a link that came with a message, and when it is followed.
type heard struct {
	token string
	at    time.Duration
}

// callForEver runs a daemon that calls people until the parent kills it; or, if
// it rests, until nothing is left to be told. away is how long the machine was
// up without it.
func callForEver(dir, letterbox, away, mode string) error {
	gone, err := time.ParseDuration(away)
	if err != nil {
		return err
	}
	c := &crew{rests: mode == "rest", spells: make([]spell, stoves)}
	c.probes.air.Fault = sensors.NotFitted
	s, all, err := workshop(stoves)
	if err != nil {
		return err
	}
	c.stoves = all
	ctx, end := context.WithCancel(context.Background())
	c.end = end
	c.app, err = New(ctx, Options{
		Site: s, Source: &c.probes, Barometer: &c.probes, RecordDir: dir, Listen: "127.0.0.1:0",
		Every: time.Millisecond, Logger: slog.New(slog.DiscardHandler), Version: "test",
		Clock: Clock{
			Boot: "one boot", Uptime: c.uptime,
			Wall: func() time.Time { return nine.Add(c.uptime() - 100*time.Second) },
		},
		Phones: func(dir string) (*Phones, error) {
			if err := c.wakeUp(dir, gone); err != nil {
				return nil, err
			}
			return c.phones(dir, letterbox)
		},
		Before: c.live,
	})
	if err != nil {
		return err
	}
	return c.app.Run(ctx)
}

func (c *crew) uptime() time.Duration { return time.Duration(c.up.Load()) }

// wakeUp sets the machine's clock, which ran on while the daemon was dead.
func (c *crew) wakeUp(dir string, gone time.Duration) error {
	r, err := record.OpenReader(dir)
	if err != nil {
		return err
	}
	defer r.Close()
	end, err := r.Last(context.Background())
	c.up.Store(int64(100*time.Second + end.At + gone))
	return err
}

// phones has two webhooks to each of two people. A workshop where so much goes
// wrong would use up every budget, and what waits for one would be over before it
// is told; so each call is told by itself, and soon again.
func (c *crew) phones(dir, letterbox string) (*Phones, error) {
	var err error
	if c.links, err = link.Open(dir); err != nil {
		return nil, err
	}
	p := &Phones{
		Plan: calls.Plan{
			Contacts: []calls.Contact{
				{Name: "Robin", Channels: []string{"robin-phone", "robin-desk"}, Wait: 40 * time.Second},
				{Name: "Sorrel", Channels: []string{"sorrel-phone", "sorrel-desk"}, Wait: 40 * time.Second},
			},
			Repeat: 20 * time.Second, GroupWithin: time.Millisecond, Most: 1 << 20,
		},
		Links: c.links, Address: "http://alder.example",
	}
	for _, who := range p.Plan.Contacts {
		for _, name := range who.Channels {
			w, err := webhook.New(webhook.Settings{
				Name: name, URL: notice.NewSecret(letterbox + "/" + name), Key: notice.NewSecret(strings.Repeat("k", 32)),
			})
			if err != nil {
				return nil, err
			}
			p.Channels = append(p.Channels, &ear{w, c})
		}
	}
	return p, nil
}

// ear is a channel that says when a notice leaves, and hears what arrived.
type ear struct {
	notice.Channel
	crew *crew
}

func (e *ear) Send(ctx context.Context, n notice.Notice) (string, error) {
	e.crew.leaves(ctx, n.ID)
	answer, err := e.Channel.Send(ctx, n)
	if err == nil && n.Link != "" {
		e.crew.hear(n.Link)
	}
	return answer, err
}

// The words of the child to its parent, one a line.
const (
	saysLeaves = "leaves" // a notice
	saysEnded  = "ended"  // a call, by an answer that is in the record
	saysIdle   = "idle"   // nothing is left to be told
)

func (c *crew) say(word, id string) {
	c.out.Lock()
	defer c.out.Unlock()
	fmt.Println(word, id)
}

// leaves says that a notice is about to leave, unless it was called back: a send
// whose context has ended does not go out. An answer calls back what is on its
// way before it is reported, so if ended comes first in the lines, and then
// leaves, it was sent after the answer; no clock is compared.
func (c *crew) leaves(ctx context.Context, id string) {
	c.out.Lock()
	defer c.out.Unlock()
	if ctx.Err() == nil {
		fmt.Println(saysLeaves, id)
	}
}

// hear lets somebody follow a link in a while; one in five is overheard.
func (c *crew) hear(url string) {
	_, token, _ := strings.Cut(url, "/a/")
	if !c.rests && rand.IntN(5) == 0 {
		return
	}
	in := time.Duration(1+rand.IntN(30)) * time.Second
	if c.rests {
		in = time.Second
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.heard = append(c.heard, heard{token, c.app.uptimeOffset() + in})
}

// live is what happens before the probes are read.
func (c *crew) live(at time.Duration) {
	c.up.Add(int64(pace))
	c.probes.says = c.weather(at)
	c.follow(at)
	if c.rests {
		c.finish()
		return
	}
	open := c.open()
	for _, call := range open {
		if rand.IntN(150) == 0 { // somebody looks at the page by chance
			c.acknowledge(call)
		}
	}
	c.cook(open)
}

// follow answers by the links whose time has come.
func (c *crew) follow(at time.Duration) {
	c.mu.Lock()
	var now []heard
	c.heard = slices.DeleteFunc(c.heard, func(h heard) bool {
		if h.at <= at {
			now = append(now, h)
		}
		return h.at <= at
	})
	c.mu.Unlock()
	for _, h := range now {
		t, err := c.links.Read(h.token, c.app.opt.Clock.Wall())
		if err != nil {
			continue
		}
		if _, err := c.app.Answer(context.Background(), h.token, ""); err != nil {
			continue // another message about it was answered before
		}
		c.report(strings.Split(t.Call, "\n")...)
	}
}

// acknowledge answers a call on the page.
func (c *crew) acknowledge(call calls.Call) {
	id, _ := rules.ParseID(call.What)
	who := []string{"Robin", "Sorrel"}[rand.IntN(2)]
	if c.app.Alarm(context.Background(), call.Bath, alarm.Command{Alarm: id, Action: alarm.Acknowledge}, who) == nil {
		c.report(call.ID)
	}
}

// report tells the parent which of these calls are not open any more.
func (c *crew) report(ids ...string) {
	open := c.open()
	for _, id := range ids {
		if !slices.ContainsFunc(open, func(o calls.Call) bool { return o.ID == id }) {
			c.say(saysEnded, id)
		}
	}
}

func (c *crew) open() []calls.Call {
	c.app.mu.RLock()
	defer c.app.mu.RUnlock()
	return c.app.phones.shown.open
}

// finish answers on the page what was told and has arrived, in case the person
// who was told lived in a daemon that was killed; and ends when nothing is left.
func (c *crew) finish() {
	var told []calls.Call
	idle := false
	_ = c.app.ask(context.Background(), "", func(context.Context, *draft, *bath) error {
		book := &c.app.phones.book
		// That something is over may be owed for a while yet: it is the first to be
		// spared where budgets are short.
		idle = len(book.Open())+len(book.Waiting()) == 0
		for _, call := range book.Open() {
			onItsWay := slices.ContainsFunc(book.Waiting(), func(w calls.Waiting) bool { return slices.Contains(w.Calls, call.ID) })
			if len(call.Told) > 0 && !onItsWay {
				told = append(told, call)
			}
		}
		return errSettled
	})
	if idle {
		c.say(saysIdle, "")
		c.end()
	}
	for _, call := range told {
		c.acknowledge(call)
	}
}

package publish

import (
	"context"
	"fmt"
	"net/url"
	"sync"
	"sync/atomic"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
)

// Publisher publishes the baths of one site to one broker. Start, Stop and New
// belong to one goroutine; the other methods may be called from several.
type Publisher struct {
	options   Options
	broker    *url.URL
	topics    topics
	outbox    *outbox
	orders    chan order
	seals     *seals // nil: orders need no signature
	connected atomic.Bool

	mu    sync.Mutex // of paces
	paces map[string]*pace

	stop   chan struct{} // closed: send what waits, say goodbye, end
	cancel context.CancelFunc
	done   sync.WaitGroup
}

// New checks the options. It connects to nothing: Start does.
func New(o Options) (*Publisher, error) {
	o, broker, err := o.complete()
	if err != nil {
		return nil, fmt.Errorf("set up publishing: %w", err)
	}
	var s *seals
	if o.OrdersKeyFile != "" {
		s = newSeals(o.OrdersKeyFile, o.MayOrder)
	}
	return &Publisher{
		options: o,
		seals:   s,
		broker:  broker,
		topics:  topicsOf(o),
		outbox:  newOutbox(o.Limit),
		orders:  make(chan order, ordersWaiting),
		paces:   map[string]*pace{},
		stop:    make(chan struct{}),
		cancel:  func() {},
	}, nil
}

// Start begins to connect and to send, in the background. A broker that is away
// is no error: it is tried again and again.
func (p *Publisher) Start() {
	ctx, cancel := context.WithCancel(context.Background())
	p.cancel = cancel
	p.done.Go(func() { p.work(ctx) })
	if p.options.AllowCommands {
		p.done.Go(func() { p.obey(ctx) })
	}
}

// Stop sends what waits if the broker is there, publishes offline, disconnects
// and returns when all is at rest. When ctx ends first, it breaks off and says so.
func (p *Publisher) Stop(ctx context.Context) error {
	close(p.stop)
	atRest := make(chan struct{})
	go func() {
		defer close(atRest)
		p.done.Wait()
	}()
	defer p.cancel()
	select {
	case <-atRest:
		return nil
	case <-ctx.Done():
		p.cancel()
		<-atRest
		return fmt.Errorf("stop publishing to %s: broke off with %d messages unsent: %w", p.broker.Host, p.outbox.waiting(), ctx.Err())
	}
}

// Announce publishes the newest snapshots and the changes of alarms that led to
// them. It never waits for the broker.
func (p *Publisher) Announce(snapshots []fold.Snapshot, changes []Change) {
	now := time.Now()
	for _, s := range snapshots {
		if p.nameable(s.Bath) {
			p.announceState(s, now, changes)
		}
	}
	for _, c := range changes {
		if !p.nameable(c.Bath) {
			continue
		}
		topic := p.topics.alarm(c.Bath, c.Change.Alarm.String())
		p.tell(message{topic: topic, payload: encode(changeOf(c)), retained: true})
	}
}

// nameable reports whether a bath's name fits into a topic. The site file allows
// no other, so one that does not is a mistake of the program, and is logged.
func (p *Publisher) nameable(bath string) bool {
	err := checkLevel(bath)
	if err != nil {
		p.options.Logger.Error("bath cannot be published", "bath", bath, "err", err)
	}
	return err == nil
}

func (p *Publisher) announceState(s fold.Snapshot, now time.Time, changes []Change) {
	if s.Wall.IsZero() {
		return // nothing read yet, so nothing to say
	}
	due, isNew := p.dueAt(s, now)
	for _, m := range plainOf(s) {
		p.outbox.put(p.topics.of(s.Bath, m.topic), m.payload, due)
	}
	p.outbox.put(p.topics.of(s.Bath, "state"), encode(stateOf(s)), due)
	if isNew {
		p.announceStandings(s, changes)
	}
}

// announceStandings publishes how each alarm of a new bath stands: the broker
// may still hold what a run before left there.
func (p *Publisher) announceStandings(s fold.Snapshot, changes []Change) {
	changed := map[rules.ID]bool{}
	for _, c := range changes {
		if c.Bath == s.Bath {
			changed[c.Change.Alarm] = true
		}
	}
	for id := range rules.IDCount {
		if changed[id] {
			continue
		}
		d := alarmDocument{At: stamp(s.Wall), Bath: s.Bath, alarmStanding: standingOf(id, s.Alarms[id])}
		p.outbox.put(p.topics.alarm(s.Bath, id.String()), encode(d), time.Time{})
	}
}

func (p *Publisher) dueAt(s fold.Snapshot, now time.Time) (due time.Time, isNew bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	pc := p.paces[s.Bath]
	if isNew = pc == nil; isNew {
		pc = &pace{}
		p.paces[s.Bath] = pc
	}
	return pc.next(s, now), isNew
}

func (p *Publisher) tell(m message) {
	if n := p.outbox.tell(m); n > 0 {
		p.options.OnDrop(n)
	}
}

// Connected reports whether the broker could be reached a moment ago.
func (p *Publisher) Connected() bool { return p.connected.Load() }

// Dropped counts the messages given up so far.
func (p *Publisher) Dropped() int64 { return p.outbox.droppedSoFar() }

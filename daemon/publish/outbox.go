package publish

import (
	"bytes"
	"slices"
	"sync"
	"time"
)

// message is one MQTT message to be sent.
type message struct {
	topic    string
	payload  []byte
	retained bool
}

// outbox keeps what waits to be sent. There are two kinds:
//
// What stands (put): one newest payload a topic, sent when due. A newer one
// takes the place of one that waits, so a slow broker is always told the
// present. It stays known after it was sent, for refresh.
//
// What happened (tell): messages in order, never merged. At most limit wait;
// the oldest is given up first, since what happened last matters most to
// somebody who was away.
//
// Its methods never wait for anything but each other.
type outbox struct {
	mu       sync.Mutex
	standing map[string]*standing
	order    []string // topics of standing, as first put
	lane     []message
	first    uint64 // number of lane[0] among all messages ever told
	limit    int
	dropped  int64
	wake     chan struct{} // room for one signal
}

// standing is the newest payload of one retained topic.
type standing struct {
	payload []byte
	waits   bool
	due     time.Time
}

func newOutbox(limit int) *outbox {
	return &outbox{standing: map[string]*standing{}, limit: limit, wake: make(chan struct{}, 1)}
}

// put takes the newest payload of a retained topic, to be sent from due on. A
// payload that the topic already has is not sent again.
func (o *outbox) put(topic string, payload []byte, due time.Time) {
	o.mu.Lock()
	defer o.mu.Unlock()
	_, known := o.standing[topic]
	s := o.at(topic)
	if known && !s.waits && bytes.Equal(s.payload, payload) {
		return
	}
	s.payload, s.waits, s.due = payload, true, due
	o.signal()
}

// tell appends a message to those that are sent in order, and returns how many
// were given up to make room. A retained one is also what stands on its topic.
func (o *outbox) tell(m message) (dropped int) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.lane = append(o.lane, m)
	if m.retained {
		s := o.at(m.topic)
		s.payload, s.waits = m.payload, false // the lane brings it
	}
	for ; len(o.lane) > o.limit; dropped++ {
		o.giveUpOldest()
	}
	o.signal()
	return dropped
}

// giveUpOldest drops the head of the lane. If that was the last news of its
// topic in the lane, what stands on the topic must be sent by itself.
func (o *outbox) giveUpOldest() {
	old := o.lane[0]
	o.lane = slices.Delete(o.lane, 0, 1)
	o.first++
	o.dropped++
	more := slices.ContainsFunc(o.lane, func(m message) bool { return m.topic == old.topic })
	if old.retained && !more {
		s := o.at(old.topic)
		s.waits, s.due = true, time.Time{}
	}
}

// at returns what stands on a topic, new if nothing did.
func (o *outbox) at(topic string) *standing {
	s := o.standing[topic]
	if s == nil {
		s = &standing{}
		o.standing[topic] = s
		o.order = append(o.order, topic)
	}
	return s
}

// refresh lets everything that stands be sent again, now. What waits in order
// is left to its turn: it brings its topic up to date by itself.
func (o *outbox) refresh() {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, s := range o.standing {
		s.waits, s.due = true, time.Time{}
	}
	for _, m := range o.lane {
		if s := o.standing[m.topic]; m.retained && s != nil {
			s.waits = false
		}
	}
	o.signal()
}

// batch is what can be sent at once: first what happened, then what stands.
type batch struct {
	messages []message
	told     int    // how many of them come from the lane
	first    uint64 // number of the first of those
}

// take returns up to most messages of the lane and all that stands and is due
// at now. If nothing is, next tells when something will be; it is zero when
// nothing waits. Messages of the lane stay in it until done.
func (o *outbox) take(now time.Time, most int) (b batch, next time.Time) {
	o.mu.Lock()
	defer o.mu.Unlock()
	b.told = min(len(o.lane), most)
	b.first = o.first
	b.messages = slices.Clone(o.lane[:b.told])
	for _, topic := range o.order {
		s := o.standing[topic]
		switch {
		case !s.waits:
		case s.due.After(now):
			if next.IsZero() || s.due.Before(next) {
				next = s.due
			}
		default:
			s.waits = false
			b.messages = append(b.messages, message{topic: topic, payload: s.payload, retained: true})
		}
	}
	return b, next
}

// done takes the first n messages of a batch's lane out of it: they arrived.
func (o *outbox) done(b batch, n int) {
	o.mu.Lock()
	defer o.mu.Unlock()
	end := b.first + uint64(min(n, b.told))
	if end <= o.first { // given up meanwhile
		return
	}
	gone := int(end - o.first)
	o.lane = slices.Delete(o.lane, 0, gone)
	o.first = end
}

// waiting counts the messages that would be sent if a broker were there.
func (o *outbox) waiting() int {
	o.mu.Lock()
	defer o.mu.Unlock()
	n := len(o.lane)
	for _, s := range o.standing {
		if s.waits {
			n++
		}
	}
	return n
}

func (o *outbox) droppedSoFar() int64 {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.dropped
}

// signal wakes the worker if it sleeps.
func (o *outbox) signal() {
	select {
	case o.wake <- struct{}{}:
	default:
	}
}

package calls

import (
	"cmp"
	"slices"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// bundle is what is due to one person through one channel: it leaves as one
// notice.
type bundle struct {
	contact *Contact
	channel string
	items   []item
}

// item is one call in a bundle.
type item struct {
	call *call
	kind notice.Kind
}

// bundles are in the order of the contacts and of their channels, as far as a
// call wants them.
type bundles struct {
	list []*bundle
	of   map[string]*bundle
}

func (b *bundles) add(k *Contact, channel string, it item) {
	name := k.Name + "\x00" + channel
	one := b.of[name]
	if one == nil {
		if b.of == nil {
			b.of = map[string]*bundle{}
		}
		one = &bundle{contact: k, channel: channel}
		b.of[name] = one
		b.list = append(b.list, one)
	}
	one.items = append(one.items, it)
}

// due adds what a call wants at this instant: it goes from contact to contact,
// each one's turn coming when the one before has had the call for its Wait. The
// turn comes at once if the one before cannot be reached.
func (c *call) due(p *Plan, now Instant, into *bundles) {
	r := rungOf(c.priority)
	turn, called := c.at, 0
	for i := range p.Contacts {
		k := &p.Contacts[i]
		if c.priority < k.Least || len(k.Channels) == 0 {
			continue
		}
		t := c.toldTo(k.Name)
		if called == r.contacts || t == nil && now.At < turn {
			return
		}
		called++
		switch {
		case t == nil: // due, though it may be held back
			turn += k.Wait
		case !t.unreached(k):
			turn = t.since + k.Wait
		default:
			turn = t.since
		}
		if r.waits && k.Quiet.Holds(now.Minute) {
			continue
		}
		for _, channel := range k.Channels {
			if kind, ok := c.wants(p, now, r, t.way(channel)); ok {
				into.add(k, channel, item{c, kind})
			}
		}
	}
}

// wants tells which notice, if any, a call wants through one channel.
func (c *call) wants(p *Plan, now Instant, r *rung, w *way) (kind notice.Kind, ok bool) {
	switch {
	case w != nil:
		pause := p.repeat() * time.Duration(r.every)
		return notice.Again, w.count <= r.repeats && now.At-w.last >= pause
	case c.alarm() == "":
		return notice.Watcher, true
	}
	return notice.Raised, true
}

// unreached reports whether every channel of a contact has failed and nothing
// has arrived. The tries go on, but nobody should wait for them.
func (t *told) unreached(k *Contact) bool {
	return !slices.ContainsFunc(k.Channels, func(channel string) bool {
		w := t.way(channel)
		return w == nil || !w.failed
	})
}

// sort puts the gravest call first, of two the older one.
func (b *bundle) sort() {
	slices.SortStableFunc(b.items, func(x, y item) int {
		return cmp.Or(cmp.Compare(y.call.priority, x.call.priority), cmp.Compare(x.call.at, y.call.at))
	})
}

// rank is that of the gravest call, once sorted.
func (b *bundle) rank() rank { return rankOf(b.items[0].kind, b.items[0].call.priority) }

// firstCritical reports whether it holds the first word of a critical call.
func (b *bundle) firstCritical() bool {
	return slices.ContainsFunc(b.items, func(it item) bool {
		return it.kind != notice.Again && it.call.priority == alarm.Critical
	})
}

// kind is the kind of the notice as a whole: news before repetition.
func (b *bundle) kind() notice.Kind {
	kind := notice.Again
	for _, it := range b.items {
		if it.kind == notice.Raised {
			return notice.Raised
		}
		if it.kind == notice.Watcher {
			kind = notice.Watcher
		}
	}
	return kind
}

// quiet reports whether none of the calls may make a noise now.
func (b *bundle) quiet(now Instant) bool {
	return !slices.ContainsFunc(b.items, func(it item) bool {
		r := rungOf(it.call.priority)
		return r.loud && (r.wakes || !b.contact.Quiet.Holds(now.Minute))
	})
}

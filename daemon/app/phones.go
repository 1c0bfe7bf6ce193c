package app

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bainward/daemon/phone"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/phone/notice"
	"bainward/daemon/phone/pin"
	"bainward/daemon/phone/push"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// Phones is what a daemon that calls people needs.
type Phones struct {
	Plan     calls.Plan // its Words are set by the daemon
	Channels []notice.Channel
	Kinds    map[string]string // what people call the kind of a channel, by its name
	Secrets  []notice.Secret   // cut out of what channels say, in case one forgot
	Office   *push.Office      // nil: no push
	Links    *link.Desk        // nil: messages have no link
	Address  string            // how phones reach the pages; empty: messages have no link
	Pins     []*pin.Output
}

// phones is the room that calls people, as the loop keeps it. The book belongs
// to the loop; what is under mu of the App is for pages.
type phones struct {
	Phones
	book  calls.Book
	desk  *phone.Desk
	shown phoneLog
}

// openPhones opens the desk. Nothing leaves before runPhones.
func (a *App) openPhones() error {
	if a.opt.Phones == nil {
		return nil
	}
	o, err := a.opt.Phones(a.opt.RecordDir)
	if err != nil {
		return err
	}
	p := &phones{Phones: *o}
	p.Plan.Site = a.opt.Site.Name
	p.Plan.Words = a.wordsOf
	desk, err := phone.New(phone.Options{
		Channels: o.Channels, Logger: a.opt.Logger, Secrets: o.Secrets, Finish: a.finish,
	})
	if err != nil {
		return fmt.Errorf("open the phones: %w", err)
	}
	p.desk = desk
	a.phones = p
	return nil
}

// wordsOf puts a finding into words for a lock screen.
func (a *App) wordsOf(id rules.ID, f rules.Finding) (fact, do, left string) {
	fact, do, left = alarm.Short(id)
	if id == rules.TopUpDue {
		// How much to add, and by when, is what the maker fetches the kettle for.
		toBare, kg := rules.WaterDue(f)
		do = "Add about " + a.opt.Site.Units.Water(kg) + " of hot water, down the side of the pan."
		if toBare > 0 {
			left = "about " + rules.Minutes(toBare)
		}
	}
	return fact, do, left
}

// linkedAtMost bounds how many calls one link answers, and so its length.
const linkedAtMost = 8

// finish adds to a notice what is made for each try: the link that answers its
// calls, which lasts for a while only, and the picture.
func (a *App) finish(n notice.Notice, ids []string) notice.Notice {
	p := a.phones
	if p.Links != nil && p.Address != "" && n.Kind != notice.Over && n.Kind != notice.Proof && len(ids) > 0 {
		t := link.Ticket{
			Call:    strings.Join(ids[:min(len(ids), linkedAtMost)], "\n"),
			Contact: n.Contact, Ends: a.opt.Clock.Wall().Add(link.Lasts),
		}
		n.Link = p.Address + "/a/" + p.Links.Make(t)
	}
	if n.Bath != "" && n.Kind != notice.Over && n.Kind != notice.Proof {
		n.Picture = func(ctx context.Context) ([]byte, error) { return a.picture(ctx, n.Bath) }
	}
	return n
}

// pictured is how much of the trace goes along with a message.
const pictured = 30 * time.Minute

func (a *App) picture(ctx context.Context, bathName string) ([]byte, error) {
	t, err := a.Trace(ctx, bathName, pictured)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = dashboards.DrawPNG(&out, t, dashboards.Options{Width: 800, Height: 400, Units: a.opt.Site.Units})
	return out.Bytes(), err
}

// call drafts what follows for the people who are called. The phones see a draft
// last, when all else in it stands.
func (a *App) call(d *draft) {
	p := a.phones
	if p == nil {
		return
	}
	book, facts := p.book.Step(&p.Plan, a.instant(d), append(a.standings(), d.happenings()...))
	if len(facts) == 0 {
		d.then(func() { p.book = book })
		return
	}
	for _, f := range facts {
		bath, body := bodyOf(f)
		d.add(bath, body)
		if e, ok := f.(calls.Ended); ok {
			d.ended = append(d.ended, e.Call)
		}
	}
	d.then(func() {
		p.book = book
		for _, f := range facts {
			p.shown.take(d.at, d.wall, f)
		}
		p.shown.open = book.Open()
		p.hand(facts)
	})
}

func (a *App) instant(d *draft) calls.Instant {
	local := d.wall.Local()
	if zone := a.opt.Site.Zone; zone != nil {
		local = d.wall.In(zone)
	}
	return calls.Instant{At: d.at, Wall: d.wall, Minute: local.Hour()*60 + local.Minute()}
}

// standings tells how the alarms that are open stand, so that a message that is
// sent again has the words of this minute.
func (a *App) standings() []calls.Happening {
	var all []calls.Happening
	for _, b := range a.baths {
		for id := range rules.IDCount {
			if s := b.state.Alarms.State(id); s.Open() {
				all = append(all, calls.Standing{Bath: b.name, Alarm: id, State: s, Finding: b.state.Alarms.Finding(id)})
			}
		}
	}
	return all
}

// happenings is what a draft means for the calls.
func (d *draft) happenings() []calls.Happening {
	all := slices.Clone(d.happened)
	for _, c := range d.changes {
		for _, ch := range c.told.Changes.All() {
			all = append(all, calls.Changed{Bath: c.bath.name, Change: ch, By: d.by, Via: d.via})
		}
	}
	return all
}

// hand gives the desk the notices among facts that are recorded by now.
func (p *phones) hand(facts []calls.Fact) {
	for _, f := range facts {
		if due, ok := f.(calls.Due); ok {
			p.desk.Hand(phone.Errand{Due: due})
		}
	}
}

// takeOutcomes records how tries to deliver went.
func (a *App) takeOutcomes(ctx context.Context) {
	went := a.phones.desk.Outcomes()
	if len(went) == 0 {
		return
	}
	d := a.draft()
	for _, t := range went {
		d.happened = append(d.happened, t)
	}
	if err := a.commit(ctx, d); err != nil {
		a.opt.Logger.Error("record how messages went; they are kept and tried again", "error", err)
		return
	}
	a.phones.desk.Kept(len(went))
}

// outcomes is signalled when tries to deliver are to be recorded.
func (a *App) outcomes() <-chan struct{} {
	if a.phones == nil {
		return nil
	}
	return a.phones.desk.Ready()
}

// showPins lets buzzers and lamps show what stands.
func (a *App) showPins(all []fold.Snapshot) {
	if a.phones == nil || len(a.phones.Pins) == 0 {
		return
	}
	var s pin.Standing
	for i := range all {
		for id := range rules.IDCount {
			s = s.With(all[i].Alarms[id].State, all[i].Alarms[id].Priority)
		}
	}
	for _, out := range a.phones.Pins {
		out.Show(s)
	}
}

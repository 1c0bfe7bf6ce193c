package judge

import (
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
)

// seen is what the rules thought at one truth.
type seen struct {
	truth    int // index
	at       time.Duration
	lit      bool
	firstIn  bool          // a top-up was logged in this batch
	sinceIn  time.Duration // since the last water that was logged
	estimate balance.Estimate
	herbGone bool
}

// played is a course with what the rules said of it.
type played struct {
	*Course
	seen   []seen                         // one a minute
	raised [rules.IDCount][]time.Duration // when each alarm was raised anew
	pours  []time.Duration                // unentered water that was noticed
	// learned is what the last maceration taught about the bath.
	learned balance.Prior
}

const lookEvery = time.Minute

// play folds the course as the daemon would.
func play(c *Course) *played {
	c.prepare()
	p := &played{Course: c}
	var bath fold.Bath
	var lastIn, looked time.Duration
	topped, ever := false, false
	noticed := 0
	var input func(in rules.Input)
	input = func(in rules.Input) {
		var told fold.Told
		bath, told = bath.Step(&c.Config, in)
		for id := range rules.IDCount {
			if told.Found[id].Level == rules.Raised && told.Was[id].Level != rules.Raised {
				p.raised[id] = append(p.raised[id], in.At)
			}
		}
		if told.Before.Lit() && !told.After.Lit() {
			p.learned = bath.Rules.Learned(&c.Config)
		}
		if n := bath.Rules.PoursSeen(); n > noticed {
			p.pours = append(p.pours, in.At)
			noticed = n
		}
		if told.Noticed != rules.NoEvent { // as the daemon does
			input(rules.OfEvent(in.At, rules.Event{Kind: told.Noticed}))
		}
	}
	for i := range c.Rows {
		row := &c.Rows[i]
		for _, e := range row.Events {
			input(rules.OfEvent(row.At, e))
			if e.Kind == rules.TopUp || e.Kind == rules.Fill {
				topped = topped || e.Kind == rules.TopUp && bath.Rules.Phase().Lit()
				lastIn = row.At
			}
		}
		if !row.EventOnly() {
			input(rules.OfFrame(row.Frame()))
		}
		k := c.at(row.At)
		if k < 0 || ever && row.At-looked < lookEvery {
			continue
		}
		looked, ever = row.At, true
		s := &bath.Rules
		p.seen = append(p.seen, seen{
			truth: k, at: row.At, lit: s.Phase().Lit(), firstIn: topped, sinceIn: row.At - lastIn,
			estimate: s.Estimate(), herbGone: s.Estimate().HerbGone,
		})
	}
	return p
}

// first returns when id was first raised at or after from.
func (p *played) first(id rules.ID, from time.Duration) (time.Duration, bool) {
	for _, at := range p.raised[id] {
		if at >= from {
			return at, true
		}
	}
	return 0, false
}

package app

import (
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// passes follows the macerations through one input: each begins when its bath is
// lit, and ends when its dish leaves the heat.
func (t *retelling) passes(e record.Entry, in rules.Input, before *fold.Bath, told *fold.Told) {
	now := &t.state.Rules
	all := &t.course.Passes
	if now.Pass() > len(*all) {
		if before.Rules.Phase().Lit() { // a recharge that nobody strained before
			t.passEnds(e.Wall, &before.Rules, tooShort(t.cfg, &before.Rules))
		}
		*all = append(*all, ledger.PassCourse{Pass: now.Pass(), Verdict: rules.Open.String()})
	}
	if len(*all) == 0 {
		return
	}
	p := &(*all)[len(*all)-1]
	lit := now.Phase().Lit()
	if lit && p.From.IsZero() {
		p.From = e.Wall
	}
	if lit {
		p.To = time.Time{} // lit again: what was strained by mistake goes on
	}
	if in.Kind == rules.FrameInput && before.Rules.Phase().Lit() {
		p.OilMaxC = hotter(p.OilMaxC, &t.state)
	}
	if before.Rules.Phase().Lit() && !lit {
		t.passEnds(e.Wall, now, told.Found[rules.TooShort].Level == rules.Raised)
	}
}

// passEnds closes the books on the maceration that is going on.
func (t *retelling) passEnds(wall time.Time, s *rules.State, short bool) {
	p := &t.course.Passes[len(t.course.Passes)-1]
	p.To, p.HoldS, p.AskedS = wall, s.Hold().Seconds(), t.cfg.Recipe.Hold.Seconds()
	switch {
	case s.Verdict() == rules.Spoiled:
		p.Verdict = rules.Spoiled.String()
	case short:
		p.Verdict = rules.Short.String()
	default:
		p.Verdict = rules.Held.String()
	}
}

// passGoesOn says of a maceration whose dish is still in the bath what is certain
// by now.
func (t *retelling) passGoesOn() {
	n := len(t.course.Passes)
	if n == 0 || !t.course.Passes[n-1].To.IsZero() {
		return
	}
	s := &t.state.Rules
	p := &t.course.Passes[n-1]
	p.HoldS, p.AskedS = s.Hold().Seconds(), t.cfg.Recipe.Hold.Seconds()
	switch {
	case s.Verdict() == rules.Spoiled:
		p.Verdict = rules.Spoiled.String()
	case s.Phase().Lit() && !tooShort(t.cfg, s):
		p.Verdict = rules.Held.String()
	}
}

// tooShort asks the rules what they would say if the herb were strained now.
func tooShort(cfg *rules.Config, s *rules.State) bool {
	_, found := rules.Step(cfg, *s, rules.OfEvent(0, rules.Event{Kind: rules.Strain}))
	return found[rules.TooShort].Level == rules.Raised
}

// hottest returns the highest trusted oil temperature of the batch; nil if there
// was none.
func hottest(b *fold.Bath) *float64 {
	c, ok := b.Rules.OilMax()
	if !ok {
		return nil
	}
	return &c
}

// hotter returns the higher of a temperature and that of the oil now, if it is
// trusted. What the rules did not count as the batch's maximum does not count here.
func hotter(so *float64, b *fold.Bath) *float64 {
	c, fault := b.Rules.Celsius(sensors.Oil)
	most, seen := b.Rules.OilMax()
	if fault != sensors.NoFault || !seen {
		return so
	}
	if c = min(c, most); so == nil || c > *so {
		return &c
	}
	return so
}

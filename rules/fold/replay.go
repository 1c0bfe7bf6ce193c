package fold

import (
	"time"

	"bainward/rules"
	"bainward/rules/trace"
)

// estimateEvery is how often a replay tells what it thinks of the pan while
// the bath is lit.
const estimateEvery = time.Minute

// Replay folds a trace and gives tell every line, in order: alarms at every
// change of state, phases, estimates once a minute while the bath is lit, and
// one summary at the end. It returns the bath as the trace left it.
func Replay(cfg *rules.Config, rows []trace.Row, tell func(Line)) Bath {
	r := replay{cfg: cfg, tell: tell}
	for i := range rows {
		r.row(&rows[i])
	}
	if n := len(rows); n > 0 {
		tell(summaryLine(rows[n-1].Wall, cfg.Bath, &r.bath.Rules))
	}
	return r.bath
}

type replay struct {
	cfg       *rules.Config
	tell      func(Line)
	bath      Bath
	estimated time.Duration
	ever      bool
	last      time.Duration // of the row before
}

// row takes the events of a row before its readings: what the maker did had
// been done when the probes were read.
func (r *replay) row(row *trace.Row) {
	for _, e := range row.Events {
		r.input(rules.OfEvent(row.At, e), row.Wall)
	}
	if !row.EventOnly() {
		r.input(rules.OfFrame(row.Frame()), row.Wall)
	}
	s := &r.bath.Rules
	pace := row.At - r.last // and so the next row is as far off, most likely
	r.last = row.At
	if s.Phase().Lit() && (!r.ever || row.At+pace-r.estimated > estimateEvery) {
		r.estimated, r.ever = row.At, true
		r.tell(estimateLine(row.Wall, r.cfg, s))
	}
}

func (r *replay) input(in rules.Input, wall time.Time) {
	var t Told
	r.bath.Take(r.cfg, &in, &t)
	if t.Noticed == rules.TopUp {
		kg, _ := r.bath.Rules.PourSeen()
		r.tell(seenLine(wall, r.cfg, kg))
	}
	if t.Before != t.After {
		r.tell(Line{At: wall, Bath: r.cfg.Bath, Kind: PhaseLine, Phase: t.After.String()})
	}
	for _, c := range t.Changes.All() {
		r.tell(Line{
			At: wall, Bath: r.cfg.Bath, Kind: AlarmLine, Alarm: c.Alarm.String(), State: c.To.String(),
			Priority: c.Priority.String(), Text: rules.Say(c.Alarm, c.Finding, r.cfg.Units),
		})
	}
	if t.Noticed != rules.NoEvent {
		r.input(rules.OfEvent(in.At, rules.Event{Kind: t.Noticed}), wall)
	}
}

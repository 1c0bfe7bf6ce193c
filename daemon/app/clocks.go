package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules/batch/ledger"
)

// clocks is what the record says of the site: its name and its clocks, and from
// which entry on. The zero clocks is a record that says nothing: UTC, no name.
type clocks []clocksFrom

type clocksFrom struct {
	from int64 // number of the entry
	record.Site
	clock *time.Location
}

// readClocks reads all that the record says of the site.
func readClocks(ctx context.Context, r *record.Reader) (clocks, error) {
	entries, err := r.OfKind(ctx, record.KindSite)
	if err != nil {
		return nil, err
	}
	var all clocks
	for _, e := range entries {
		if err := all.take(e); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// take learns of an entry; most say nothing of the site.
func (p *clocks) take(e record.Entry) error {
	if e.Kind != record.KindSite {
		return nil
	}
	var s record.Site
	if err := e.Decode(&s); err != nil {
		return fmt.Errorf("entry %d: %w", e.Seq, err)
	}
	*p = append(*p, clocksFrom{e.Seq, s, s.Clock()})
	return nil
}

// at returns what held at an entry.
func (p clocks) at(seq int64) clocksFrom {
	i, found := slices.BinarySearchFunc(p, seq, func(o clocksFrom, seq int64) int { return int(min(1, max(-1, o.from-seq))) })
	if found {
		i++
	}
	if i == 0 {
		return clocksFrom{clock: time.UTC}
	}
	return p[i-1]
}

// last returns what holds now.
func (p clocks) last() clocksFrom {
	if len(p) == 0 {
		return clocksFrom{clock: time.UTC}
	}
	return p[len(p)-1]
}

// wall is the time that the site's clocks showed at an entry; it is the zero time if
// nobody knows.
func (p clocks) wall(seq int64, t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.In(p.at(seq).clock)
}

// day is the day of the calendar at the site.
func (p clocks) day(seq int64, t time.Time) ledger.Day { return ledger.DayAt(p.wall(seq, t)) }

// ReadClock returns the zone in which people of a site read times: that of its file,
// else the newest that the record names. s may be nil. It is UTC where neither names
// one that is known here.
func ReadClock(ctx context.Context, r *record.Reader, s *site.Site) (*time.Location, error) {
	if s != nil && s.Zone != nil {
		return s.Zone, nil
	}
	all, err := readClocks(ctx, r)
	if err != nil {
		return nil, fmt.Errorf("read the time zone: %w", err)
	}
	if zone, err := time.LoadLocation(all.last().Zone); err == nil {
		return zone, nil
	}
	return time.UTC, nil // the caller says which it is
}

// saySite drafts an entry if the record does not say yet what the site is called and
// how its clocks stand now.
func (a *App) saySite(d *draft) {
	now := record.SiteOf(a.opt.Site.Name, a.opt.Site.Clock(), d.wall)
	if a.clocks.last().Site != now {
		d.add("", now)
	}
}

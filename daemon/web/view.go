package web

import (
	"context"
	"time"

	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// View is what the pages show. All methods may be called from several
// goroutines at once and answer from memory, or in the time of one disk read.
type View interface {
	Site() SiteInfo
	// Snapshots returns the newest state of each bath, in the order of the site
	// file. What is in a snapshot is in the record already.
	Snapshots() []fold.Snapshot
	// Trace returns the readings of the last stretch of time of one bath.
	Trace(ctx context.Context, bath string, last time.Duration) (dashboards.Trace, error)
	// Events returns the newest n entries for people of one bath, newest first.
	Events(ctx context.Context, bath string, n int) ([]dashboards.LogLine, error)
	// Subscribe returns a channel with room for one signal, and a function that
	// ends the subscription. A signal says that Snapshots changed; the View drops
	// it when one is waiting already, so a slow reader holds nothing up and,
	// when it gets round to it, reads only the newest state.
	Subscribe() (changed <-chan struct{}, cancel func())
}

// Doer is everything that changes something. Each method returns once the
// change is in the record, or an error that is shown to the person as it is: it
// must say what was refused, why, and what to do.
type Doer interface {
	Event(ctx context.Context, bath string, e rules.Event, who string) error
	// Void takes an entry back by a correcting entry; the old one stays.
	Void(ctx context.Context, bath string, entry int64, reason, who string) error
	Alarm(ctx context.Context, bath string, c alarm.Command, who string) error
	// Recipe chooses what the next batch of bath is made by.
	Recipe(ctx context.Context, bath, name, who string) error
}

// LogLine is one entry of the record in words for people.
type LogLine = dashboards.LogLine

// SiteInfo is what a page says about the place.
type SiteInfo struct {
	Name    string
	Units   rules.Units
	Version string
	Zone    *time.Location // of the clocks there; nil: none is named
	Demo    float64        // how many times faster than the clock an invented bath runs; 0: real baths
	Recipes []string
	Limits  *rules.Limits // what the rules go by; nil: the limits that are built in
}

// Clock returns the zone in which pages tell times without a script: this machine's
// where the site names none.
func (i SiteInfo) Clock() *time.Location {
	if i.Zone == nil {
		return time.Local
	}
	return i.Zone
}

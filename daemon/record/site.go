package record

import (
	"errors"
	"fmt"
	"time"
)

// KindSite is the kind of a Site. The rules do not take it in.
const KindSite Kind = "site"

// Site is what the place is called and how its clocks stand, from this entry on
// until the next. It is written when one of the three changes, so twice a year where
// clocks are changed. The difference to UTC is recorded, not reckoned from the zone's
// name, so that a paper shows the same times when it is drawn on another machine,
// whose tables of zones may be older or newer.
//
// Before the first Site nobody said what the place is called, and its clocks
// showed UTC.
type Site struct {
	Name string `json:"name"`
	Zone string `json:"time_zone"`    // of the IANA data base, such as "Europe/Dublin"
	UTC  int    `json:"utc_offset_s"` // ahead of UTC; west of Greenwich it is negative
}

// SiteOf returns the body that says how the clocks of a place stand at an instant.
func SiteOf(name string, zone *time.Location, at time.Time) Site {
	_, offset := at.In(zone).Zone()
	return Site{Name: name, Zone: zone.String(), UTC: offset}
}

// Kind returns KindSite.
func (Site) Kind() Kind { return KindSite }

// Clock returns the zone that shows what the clocks there did. It has no change in it.
func (b Site) Clock() *time.Location { return time.FixedZone(b.Zone, b.UTC) }

func (b Site) check() error {
	const most = 24 * 60 * 60 // s; the farthest in use are 14 h ahead and 12 h behind (from memory)
	switch {
	case b.Name == "":
		return errors.New("the site has no name")
	case b.Zone == "":
		return errors.New("the site has no time zone")
	case b.UTC <= -most || b.UTC >= most:
		return fmt.Errorf("the site's clocks are %d s ahead of UTC: that is a day or more", b.UTC)
	}
	return nil
}

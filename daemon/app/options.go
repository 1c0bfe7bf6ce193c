package app

import (
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"bainward/daemon/people"
	"bainward/daemon/phone/alive"
	"bainward/daemon/publish"
	"bainward/daemon/site"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/fold"
	"bainward/sensors"
)

// Options is what a daemon needs. Fields without a remark are required.
type Options struct {
	Site      *site.Site
	Source    sensors.Source
	Barometer sensors.Barometer
	RecordDir string
	Listen    string        // host:port of the pages
	Every     time.Duration // between polls
	Clock     Clock
	Logger    *slog.Logger
	Version   string
	Demo      float64   // how many times faster an invented bath runs; 0: real ones
	Publisher Publisher // nil: nothing is published
	// Phones opens the ways to people; what it keeps goes into the folder of the
	// record, which is open by then. nil: nobody is called.
	Phones func(dir string) (*Phones, error)
	// People opens what knows who may come in; what it keeps goes into the folder of
	// the record. It is told what happens at the door with said. nil: nobody signs
	// in, and only this machine is served.
	People  func(dir string, said func(people.Access)) (*people.Door, error)
	Doorway web.Doorway // without its People
	// TLS opens the certificate of the pages, which may be kept in the folder of the
	// record; nil: they are served in the clear, to this machine alone.
	TLS       func(dir string) (*tls.Config, error)
	Cuts      []Cut                  // baths whose heat can be cut
	Heartbeat *alive.Heartbeat       // nil: nobody elsewhere listens
	Notify    func(state string)     // service manager; nil: none
	Ready     func(address string)   // told once the page can be opened; may be nil
	Before    func(at time.Duration) // called before each poll, for a simulated bath; may be nil
	// Did is told of every event once it is recorded, for a simulated bath; may be nil.
	Did func(bath string, e rules.Event, who string)
}

// Publisher tells a broker. Announce must not block.
type Publisher interface {
	Announce([]fold.Snapshot, []publish.Change)
}

// dropper is a Publisher that can say how many announcements it gave up so far.
type dropper interface{ Dropped() int64 }

func (o *Options) check() error {
	var missing []error
	need := func(have bool, field string) {
		if !have {
			missing = append(missing, fmt.Errorf("app: option %s is missing", field))
		}
	}
	need(o.Site != nil, "Site")
	need(o.Source != nil, "Source")
	need(o.Barometer != nil, "Barometer")
	need(o.RecordDir != "", "RecordDir")
	need(o.Listen != "", "Listen")
	need(o.Every > 0, "Every")
	need(o.Clock.Uptime != nil && o.Clock.Wall != nil, "Clock")
	need(o.Logger != nil, "Logger")
	if o.Notify == nil {
		o.Notify = func(string) {}
	}
	if o.Ready == nil {
		o.Ready = func(string) {}
	}
	return errors.Join(missing...)
}

package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"

	"bainward/daemon/app"
	"bainward/daemon/publish"
	"bainward/daemon/site"
	"bainward/sensors"
	"bainward/sensors/barometer"
	"bainward/sensors/bridge"
)

type watchCommand struct {
	Site   string        `required:"" placeholder:"FILE" help:"The site file."`
	Root   string        `placeholder:"DIR" help:"Folder of the kernel's 1-Wire devices, in place of the site file's."`
	Record string        `placeholder:"DIR" help:"Folder of the record, in place of the site file's."`
	Listen string        `placeholder:"ADDR" help:"Where the pages are served, in place of the site file's."`
	Every  time.Duration `default:"1s" placeholder:"D" help:"How often the probes are read. (${default})"`
}

// Run watches the baths of a site until it is told to stop.
func (c *watchCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	if c.Every < 100*time.Millisecond || c.Every > 30*time.Second {
		return fmt.Errorf("read the probes every %s: want 100ms to 30s; a hold counts no gap over 30 s", c.Every)
	}
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	source, err := openWires(s, c.Root, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	if err := checkProbes(ctx, source, s); err != nil {
		return err
	}
	air, closeAir, err := openBarometer(s)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, closeAir()) }()
	var a *app.App // told of what the broker says once it runs
	broker, err := openBroker(s, hearers{
		obey:     func(ctx context.Context, c publish.Command) error { return a.Obey(ctx, c) },
		mayOrder: func(who string) error { return a.MayOrder(who) },
		sibling:  func(site, status string) { a.Sibling(site, status) },
		other:    func(site string, document []byte) { a.OtherRecord(site, document) },
		cosigned: func(site string, document []byte) { a.Cosigned(site, document) },
	}, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, broker.Close()) }()
	cuts, err := openCuts(s, broker, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, cuts.Close()) }()
	ways := opener{site: s, env: os.Getenv, log: log}
	beat, err := ways.heartbeat(func() (bool, string) { return a.Well() })
	if err != nil {
		return err
	}
	certificate := certificateOf(s, c.listen(s), c.record(s), log)
	var private func(string) (*tls.Config, error)
	if certificate != nil {
		private = func(string) (*tls.Config, error) { return certificate.open() }
	}
	o := app.Options{
		Site: s, Source: source, Barometer: air, RecordDir: c.record(s), Listen: c.listen(s), Every: c.Every,
		Clock: app.MachineClock(), Logger: log, Version: version(), Publisher: broker.publisher(),
		Phones: ways.phones, Cuts: cuts.all, Heartbeat: beat, Notify: notify(log),
		People: openPeople(s, log), Doorway: doorwayOf(s), TLS: private,
		Ready: func(address string) {
			fmt.Fprintf(out, "Watching %s. The pages are at %s\n", s.Name, address)
			tellDoor(out, s, certificate)
			fmt.Fprintln(out, "This tool advises; it is not a safety device. Never leave a lit bath alone.")
		},
	}
	if a, err = app.New(ctx, o); err != nil {
		return err
	}
	broker.start()
	return a.Run(ctx)
}

func (c *watchCommand) record(s *site.Site) string {
	if c.Record != "" {
		return c.Record
	}
	return s.RecordFolder(os.Getenv("STATE_DIRECTORY"))
}

func (c *watchCommand) listen(s *site.Site) string {
	if c.Listen != "" {
		return c.Listen
	}
	return s.Listen
}

// openBarometer opens the site's barometer, or the one that stands for none.
func openBarometer(s *site.Site) (sensors.Barometer, func() error, error) {
	if s.Barometer == nil {
		return barometer.None{}, func() error { return nil }, nil
	}
	bus, err := bridge.OpenBus(s.Barometer.Bus)
	if err != nil {
		return nil, nil, fmt.Errorf("open the barometer: %w", err)
	}
	b, err := barometer.Open(bus, s.Barometer.Address)
	if err != nil {
		return nil, nil, errors.Join(err, bus.Close())
	}
	return b, func() error { return errors.Join(b.Close(), bus.Close()) }, nil
}

// notify tells systemd how the daemon is; without systemd it tells nobody.
func notify(log *slog.Logger) func(string) {
	return func(state string) {
		if _, err := daemon.SdNotify(false, state); err != nil {
			log.Warn("tell the service manager", "state", state, "error", err)
		}
	}
}

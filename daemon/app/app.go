package app

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"bainward/daemon/cutout"
	"bainward/daemon/metrics"
	"bainward/daemon/people"
	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// App is a running daemon.
type App struct {
	opt       Options
	record    *record.Record
	metrics   *metrics.Metrics
	listener  net.Listener
	baths     []*bath
	addresses []sensors.Address
	places    []*place
	beside    chan besides

	base   time.Duration // offset at uptime zero
	lastAt time.Duration
	// checked is the offset of the last checkpoint.
	checked time.Duration
	// dropped is how many announcements the metrics know to be given up.
	dropped int64
	clock   wallWatch // at the last recorded poll
	// barometer says that the last poll had one, be it that it failed.
	barometer bool
	deeds     chan deed
	ended     chan struct{} // closed when no more deeds are taken

	shown atomic.Pointer[[]fold.Snapshot]
	mu    sync.RWMutex // over the histories and the books, which pages read
	books *ledger.Ledger
	// clocks is what the record says of the site; of the loop.
	clocks clocks
	hub    hub
	// courses are those of closed batches, lastCorrection the number of the last correction
	// since the start.
	courses        courses
	lastCorrection atomic.Int64
	// guides is what leads people through a batch; under mu, too.
	guides guides
	// calibrated is what the record says of probes; calibrating is the one that is out
	// of its bath for it, nil before the first. Both under mu.
	calibrated  calibrations
	calibrating *calibrating
	// boiled is how each bath probe stood on its last boils, oldest first; under mu.
	boiled map[sensors.Address][]boilSeen
	// made are the recipes that the record has.
	made atomic.Pointer[Recipes]
	// persons is who may come in, as the record has it; under mu, too.
	persons persons

	door     *people.Door // nil: nobody signs in
	private  *tls.Config  // nil: the pages are served in the clear
	phones   *phones      // nil: nobody is called
	siblings siblings
	// thinAt is the offset from which old readings are looked for again.
	thinAt time.Duration
	// witnesses are the records that are watched over, vouching what is said of
	// this one.
	witnesses witnesses
	vouching  vouching
	cuts      []*cutout.Cutout
	// cutChanges are not recorded yet.
	cutChanges []cutout.Change
	faults     map[*cutout.Cutout]error // that were told

	stops []stop // what Run undoes, last first
}

type stop struct {
	name string
	do   func() error
}

func (a *App) onStop(name string, do func() error) { a.stops = append(a.stops, stop{name, do}) }

// New opens everything that the daemon needs, in an order in which a failure
// leaves nothing behind: the port first, for it changes nothing, then the
// record, which is then folded. Run closes it all.
func New(ctx context.Context, opt Options) (*App, error) {
	if err := opt.check(); err != nil {
		return nil, err
	}
	a := &App{opt: opt, deeds: make(chan deed), beside: make(chan besides), ended: make(chan struct{})}
	if err := a.open(ctx); err != nil {
		return nil, errors.Join(err, a.undo())
	}
	return a, nil
}

func (a *App) open(ctx context.Context) error {
	if err := a.opt.mayListen(); err != nil {
		return err
	}
	listener, err := net.Listen("tcp", a.opt.Listen)
	if err != nil {
		return fmt.Errorf("open the pages' address %s: %w: is another bainward running? Choose another with --listen or in the site file", a.opt.Listen, err)
	}
	a.listener = listener
	a.onStop("pages' address", func() error {
		if err := listener.Close(); !errors.Is(err, net.ErrClosed) {
			return err
		}
		return nil
	})
	a.record, err = record.Open(ctx, record.Options{
		Dir: a.opt.RecordDir, Site: a.opt.Site.Name, Logger: a.opt.Logger,
		// An old record is converted, however long it takes (sd_notify(3)).
		Working: func() { a.opt.Notify("EXTEND_TIMEOUT_USEC=120000000") },
	})
	if err != nil {
		return err
	}
	a.onStop("record", a.record.Close)
	if err := a.openDoor(); err != nil {
		return err
	}
	a.gatherBaths()
	a.gatherPlaces()
	a.gatherSiblings()
	if err := a.openPhones(); err != nil {
		return err
	}
	if err := a.openCuts(ctx); err != nil {
		return err
	}
	if err := a.resume(ctx); err != nil {
		return err
	}
	a.show()
	return nil
}

func (a *App) gatherBaths() {
	seen := map[sensors.Address]bool{}
	for _, b := range a.opt.Site.Baths {
		a.baths = append(a.baths, &bath{name: b.Name, probes: b.Probes})
		for _, address := range b.Probes {
			if address != 0 && !seen[address] {
				seen[address] = true
				a.addresses = append(a.addresses, address)
			}
		}
	}
}

// Address is where the pages can be opened.
func (a *App) Address() string {
	scheme := "http://"
	if a.private != nil {
		scheme = "https://"
	}
	return scheme + a.listener.Addr().String() + "/"
}

// undo closes everything, last opened first.
func (a *App) undo() error {
	var errs []error
	for i := len(a.stops) - 1; i >= 0; i-- {
		if err := a.stops[i].do(); err != nil {
			errs = append(errs, fmt.Errorf("close %s: %w", a.stops[i].name, err))
		}
	}
	a.stops = nil
	return errors.Join(errs...)
}

// Run serves the pages and watches the baths until ctx ends. Before it
// returns everything is closed.
func (a *App) Run(ctx context.Context) (err error) {
	defer func() { err = errors.Join(err, a.undo()) }()
	handler, err := a.handler()
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	server := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, TLSConfig: a.private, ErrorLog: a.quietly()}
	serve := server.Serve
	if a.private != nil {
		serve = func(l net.Listener) error { return server.ServeTLS(l, "", "") } // the config has it
	}
	var running sync.WaitGroup
	running.Go(func() {
		if err := serve(a.listener); !errors.Is(err, http.ErrServerClosed) {
			cancel(fmt.Errorf("serve the pages: %w", err))
		}
	})
	a.onStop("pages", func() error {
		defer running.Wait()
		a.hub.end()
		return server.Close()
	})
	polls := make(chan poll)
	running.Go(func() { a.keepPolling(ctx, polls) })
	running.Go(func() { a.keepBeside(ctx, a.beside) })
	a.runOutward(ctx, &running)
	a.opt.Notify("READY=1")
	a.opt.Ready(a.Address())
	a.loop(ctx, polls)
	a.opt.Notify("STOPPING=1")
	stopErr := a.recordStop()
	if cause := context.Cause(ctx); cause != nil && !errors.Is(cause, context.Canceled) {
		return errors.Join(cause, stopErr)
	}
	cancel(nil)
	return stopErr
}

// runOutward runs what speaks to people and wires on its own time.
func (a *App) runOutward(ctx context.Context, running *sync.WaitGroup) {
	if a.phones != nil {
		running.Go(func() { a.phones.desk.Run(ctx) })
		for _, out := range a.phones.Pins {
			running.Go(func() { out.Run(ctx) })
		}
	}
	for _, c := range a.cuts {
		running.Go(func() { c.Run(ctx) })
	}
	if a.opt.Heartbeat != nil {
		running.Go(func() { a.opt.Heartbeat.Run(ctx) })
	}
}

// handler joins the pages with the metrics.
func (a *App) handler() (http.Handler, error) {
	registry := prometheus.NewRegistry()
	registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	m, err := metrics.New(metrics.Options{Registerer: registry, Snapshots: a.Snapshots, Outward: a.outward, Places: a.placesNow, Version: a.opt.Version})
	if err != nil {
		return nil, err
	}
	a.metrics = m
	var called web.Phones
	if a.phones != nil {
		called = a
	}
	var cut web.Cutouts
	if len(a.cuts) > 0 {
		cut = a
	}
	return web.New(web.Options{
		View: a, Doer: a, Logger: a.opt.Logger, Phones: called, Cutouts: cut, Doorway: a.doorway(),
		Metrics: promhttp.HandlerFor(registry, promhttp.HandlerOpts{EnableOpenMetrics: true}),
	})
}

func (a *App) recordStop() error {
	// ctx of the daemon has ended; this last entry has a moment of its own.
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	d := a.draft()
	a.cutPlaces(d)
	d.add("", record.Stop{})
	if err := a.commit(ctx, d); err != nil {
		return fmt.Errorf("record the stop: %w", err)
	}
	return nil
}

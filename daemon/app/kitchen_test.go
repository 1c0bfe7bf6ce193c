package app

import (
	"context"
	"errors"
	"log/slog"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"bainward/daemon/publish"
	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/fold"
	"bainward/sensors"
)

const kitchenSite = `
[site]
name = "Alder Yard"
elevation_m = 120
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
[[recipe]]
name = "ribwort"
herb = "Plantago lanceolata, leaf"
fresh = true
herb_g = 220
oil = "sunflower"
oil_ml = 800
hold_min = 30
[[recipe]]
name = "marigold"
herb = "Calendula officinalis, flower"
herb_g = 90
oil = "olive"
oil_ml = 850
hold_min = 20
`

var (
	oilProbe  = sensors.NewAddress(sensors.FamilyDS18B20, 0x00000bbb9b13)
	bathProbe = sensors.NewAddress(sensors.FamilyDS18B20, 0x000005fba71c)
	// nine is the time of day when the machine of these tests is 100 s up.
	nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
)

// shelf is a Source and a Barometer that say what they are told to.
type shelf struct {
	says map[sensors.Address]sensors.Reading
	air  sensors.Pressure
	err  error
}

func (s *shelf) Probes(context.Context) ([]sensors.Address, error) { return nil, nil }

func (s *shelf) Read(_ context.Context, asked []sensors.Address) ([]sensors.Sample, error) {
	samples := make([]sensors.Sample, len(asked))
	for i, a := range asked {
		samples[i] = sensors.Sample{Address: a, Reading: s.says[a]}
	}
	return samples, s.err
}

func (s *shelf) Pressure(context.Context) sensors.Pressure { return s.air }

func (s *shelf) Close() error { return nil }

// crier is a Publisher that remembers what it was told.
type crier struct {
	times   int
	changes []publish.Change
	last    []fold.Snapshot
}

func (c *crier) Announce(s []fold.Snapshot, changes []publish.Change) {
	c.times++
	c.last = s
	c.changes = append(c.changes, changes...)
}

// kitchen runs a daemon's loop on a clock and on probes that the test moves.
// Only the loop itself runs beside the test, and never while the test looks.
type kitchen struct {
	t      testing.TB
	dir    string
	site   *site.Site
	boot   string
	uptime time.Duration
	clock  time.Duration // by which the time of day is off
	probes shelf
	told   crier
	alive  int // times the service manager was told that the loop lives
	app    *App
	polls  chan poll
	cancel context.CancelFunc
	gone   chan struct{}
	// more changes the options of every start.
	more func(*Options)
}

// newKitchen starts a daemon on a new record.
func newKitchen(t testing.TB) *kitchen { return newKitchenWith(t, nil) }

// newKitchenWith is newKitchen with other options.
func newKitchenWith(t testing.TB, more func(*Options)) *kitchen {
	t.Helper()
	s, err := site.Parse("alder.toml", []byte(kitchenSite))
	if err != nil {
		t.Fatal(err)
	}
	k := &kitchen{t: t, dir: filepath.Join(t.TempDir(), "record"), site: s, boot: "first boot", uptime: 100 * time.Second, more: more}
	k.probes.air.Fault = sensors.NotFitted
	k.read(20, 20)
	k.start()
	t.Cleanup(k.kill)
	return k
}

func (k *kitchen) options() Options {
	return Options{
		Site: k.site, Source: &k.probes, Barometer: &k.probes, RecordDir: k.dir, Listen: "127.0.0.1:0",
		Every:  time.Hour, // so that the loop does not lose patience while the test thinks
		Logger: slog.New(slog.DiscardHandler), Version: "test", Publisher: &k.told,
		Clock: Clock{
			Boot: k.boot, Uptime: func() time.Duration { return k.uptime },
			Wall: func() time.Time { return nine.Add(k.uptime - 100*time.Second + k.clock) },
		},
		Notify: func(state string) {
			if state == "WATCHDOG=1" {
				k.alive++
			}
		},
	}
}

func (k *kitchen) start() {
	k.t.Helper()
	o := k.options()
	if k.more != nil {
		k.more(&o)
	}
	a, err := New(k.t.Context(), o)
	if err != nil {
		k.t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	polls, gone := make(chan poll), make(chan struct{})
	var running sync.WaitGroup
	running.Go(func() { a.loop(ctx, polls) })
	a.runOutward(ctx, &running)
	go func() {
		defer close(gone)
		running.Wait()
	}()
	k.app, k.polls, k.cancel, k.gone = a, polls, cancel, gone
}

// kill ends the daemon as kill -9 would: nothing more is recorded.
func (k *kitchen) kill() {
	k.t.Helper()
	k.cancel()
	<-k.gone
	if err := k.app.undo(); err != nil {
		k.t.Error(err)
	}
}

// restart kills the daemon and starts it again after a while.
func (k *kitchen) restart(away time.Duration) {
	k.t.Helper()
	k.kill()
	k.uptime += away
	k.start()
}

// read sets what the probes say from now on, in °C.
func (k *kitchen) read(oil, bath float64) {
	k.probes.says = map[sensors.Address]sensors.Reading{oilProbe: sensors.AtCelsius(oil), bathProbe: sensors.AtCelsius(bath)}
}

// poll lets so much time pass and then reads the probes once.
func (k *kitchen) poll(after time.Duration) {
	k.t.Helper()
	k.uptime += after
	k.polls <- k.app.readAll(k.t.Context())
	k.settle()
}

// pollFor reads the probes every ten seconds, for so long.
func (k *kitchen) pollFor(d time.Duration) {
	k.t.Helper()
	for ; d > 0; d -= 10 * time.Second {
		k.poll(10 * time.Second)
	}
}

var errSettled = errors.New("nothing was asked")

// settle returns when the loop has done what it was given before.
func (k *kitchen) settle() {
	k.t.Helper()
	err := k.app.ask(k.t.Context(), "north", func(context.Context, *draft, *bath) error { return errSettled })
	if !errors.Is(err, errSettled) {
		k.t.Fatal(err)
	}
}

// did enters events, such as "fill 1.8 kg; light".
func (k *kitchen) did(events string) {
	k.t.Helper()
	said, err := rules.ParseEvents(events)
	if err != nil {
		k.t.Fatal(err)
	}
	for _, e := range said {
		if err := k.app.Event(k.t.Context(), "north", e, "maker"); err != nil {
			k.t.Fatalf("%s: %v", e, err)
		}
	}
}

// hold brings a batch to its hold: filled, lit, and as warm as it gets.
func (k *kitchen) hold() {
	k.t.Helper()
	k.did("fill 1.85 kg; charge 220 g; light")
	for m := range 20 {
		k.read(min(92, 20+4*float64(m)), min(99.5, 20+5*float64(m)))
		k.pollFor(time.Minute)
	}
	if p := k.bath().Rules.Phase(); p != rules.Holding {
		k.t.Fatalf("after twenty minutes the batch is %s", p)
	}
}

func (k *kitchen) bath() *fold.Bath { return &k.app.baths[0].state }

func (k *kitchen) batch() string { return k.app.baths[0].batch }

func (k *kitchen) shown() fold.Snapshot { return k.app.Snapshots()[0] }

// entries returns the record from its first entry; a hole is an error.
func (k *kitchen) entries() []record.Entry {
	k.t.Helper()
	return entriesOf(k.t, k.app.record.Reader)
}

func entriesOf(t testing.TB, r *record.Reader) []record.Entry {
	t.Helper()
	var all []record.Entry
	for e, err := range r.Entries(t.Context(), 1, 0) {
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, e)
	}
	return all
}

// entry returns the number of the newest event with that text.
func (k *kitchen) entry(event string) int64 {
	k.t.Helper()
	var seq int64
	for _, e := range k.entries() {
		var b record.Event
		if e.Kind == record.KindEvent && e.Decode(&b) == nil && b.Text == event {
			seq = e.Seq
		}
	}
	if seq == 0 {
		k.t.Fatalf("no event %q in the record", event)
	}
	return seq
}

// count returns how many entries of a kind there are.
func (k *kitchen) count(kind record.Kind) int {
	k.t.Helper()
	n := 0
	for _, e := range k.entries() {
		if e.Kind == kind {
			n++
		}
	}
	return n
}

package app

import (
	"context"
	"math"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/record/verify"
	"bainward/daemon/site"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

var fridgeProbe = sensors.NewAddress(sensors.FamilyDS18B20, 0x00000a1d3c77)

const fridgeTable = `
[[place]]
name = "fridge"
probe = "28-00000a1d3c77"
`

// onItsOwnWire is a kitchen whose refrigerator hangs on no bath's wire.
const onItsOwnWire = kitchenSite + fridgeTable + `wire = "cellar"
[[wire]]
kind = "kernel"
name = "hob"
[[wire]]
kind = "bridge"
name = "cellar"
bus = "1"
`

// pantry is a kitchen with a refrigerator, and seven bottles that can be filled.
type pantry struct {
	*kitchen
	fridge sensors.Reading
}

func newPantry(t testing.TB) *pantry { return newPantryWith(t, kitchenSite+fridgeTable) }

func newPantryWith(t testing.TB, text string) *pantry {
	t.Helper()
	s, err := site.Parse("alder.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	l := &pantry{fridge: sensors.AtCelsius(4)}
	l.kitchen = newKitchenWith(t, func(o *Options) { o.Site = s })
	return l
}

// stands polls once a minute for so long, the refrigerator at celsius.
func (l *pantry) stands(celsius float64, lasts time.Duration) {
	l.t.Helper()
	l.fridge = sensors.AtCelsius(celsius)
	l.asItIs(lasts)
}

func (l *pantry) asItIs(lasts time.Duration) {
	l.t.Helper()
	for ; lasts > 0; lasts -= time.Minute {
		l.read(20, 20)
		l.probes.says[fridgeProbe] = l.fridge
		l.poll(time.Minute)
	}
}

// fill opens a batch and fills bottles from it.
func (l *pantry) fill(place ledger.Place, numbers ...int) string {
	l.t.Helper()
	if l.batch() == "" {
		l.did("fill 1.85 kg; charge 220 g")
	}
	l.entered(ledger.Bottles{Batch: l.batch(), Numbers: numbers, Each: much(l.t, "100 ml"), AtC: 20, Place: place})
	return l.batch()
}

func (l *pantry) bottle(batch string, n int) (o ledger.Bottle) {
	l.t.Helper()
	l.app.Books(func(b *ledger.Ledger, _ ledger.Day) {
		var err error
		if o, err = b.Bottle(ledger.BottleID(batch, n)); err != nil {
			l.t.Fatal(err)
		}
	})
	return o
}

// spans returns what the record says of the refrigerator.
func (l *pantry) spans() (all []record.Storage) {
	l.t.Helper()
	for _, e := range l.entries() {
		if e.Kind == record.KindStorage {
			var b record.Storage
			if err := e.Decode(&b); err != nil {
				l.t.Fatal(err)
			}
			if b.To != e.At.Milliseconds() {
				l.t.Errorf("entry %d ends at %d ms and stands at %v", e.Seq, b.To, e.At)
			}
			all = append(all, b)
		}
	}
	return all
}

func (l *pantry) mustVerify() {
	l.t.Helper()
	l.kill()
	defer l.start()
	report, err := verify.Folder(l.t.Context(), l.dir, verify.Options{})
	if err != nil {
		l.t.Fatal(err)
	}
	for _, f := range report.Findings {
		l.t.Errorf("found: %+v", f)
	}
}

// The worked examples of USP's formula (USP29 <1160>, ΔH/R = 10 000 K) go all the
// way from readings through the record into the books: as many minutes at each
// temperature, over hours that are cut in the middle, and after a restart.
func TestTheMeanKineticTemperatureComesFromTheReadings(t *testing.T) {
	for _, c := range []struct {
		celsius []float64
		want    float64
	}{
		{[]float64{4, 4, 4, 4, 16}, 8.109},
		{[]float64{2, 8}, 5.536},
		{[]float64{20, 22, 24, 26, 28, 30}, 25.607},
		{[]float64{15, 40}, 33.919},
	} {
		l := newPantry(t)
		l.stands(c.celsius[0], 2*time.Minute)
		batch := l.fill(ledger.Fridge, 1)
		warmest := 0.0
		for _, celsius := range c.celsius {
			l.stands(celsius, 37*time.Minute)
			warmest = max(warmest, celsius)
		}
		l.did("note the last minute is over")
		l.entered(ledger.Moved{Batch: batch, Numbers: []int{1}, Place: ledger.Room})
		for _, when := range []string{"at once", "after a restart"} {
			k := l.bottle(batch, 1).Places[0].Kept
			// A reading counts until the next, so each stands for a minute before it as well:
			// the first temperature of the bottle is what stood there when it came.
			if k == nil || math.Abs(k.KineticC-c.want) > 0.25 || k.MaxC != warmest || k.Measured < 0.99 {
				t.Errorf("%v %s: %+v, want about %v °C", c.celsius, when, k, c.want)
			}
			l.restart(time.Second)
		}
		l.mustVerify()
	}
}

// A refrigerator that held each temperature for whole minutes, as the loop read it,
// gives the published value to the thousandth.
func TestWholeMinutesGiveThePublishedValue(t *testing.T) {
	s := newStretch(0)
	var bodies []record.Storage
	for i, celsius := range []float64{4, 4, 4, 4, 16} {
		for m := range 37 {
			at := time.Duration(37*i+m) * time.Minute
			if at > 0 && at%time.Hour == 0 {
				body, next, _ := s.cut(at)
				bodies, s = append(bodies, body), next
			}
			s.read(at, celsius)
		}
	}
	body, _, _ := s.cut(5 * 37 * time.Minute)
	var l ledger.Ledger
	for _, b := range append(bodies, body) {
		b.Place, b.Probe, b.Warm = ledger.Fridge, "28-00000a1d3c77", 8
		at := time.Duration(b.To) * time.Millisecond
		e, err := record.Of(at, nine.Add(at), "", b)
		if err != nil {
			t.Fatal(err)
		}
		if err := keep(&l, e, nil); err != nil {
			t.Fatal(err)
		}
	}
	got := l.PlacesNow()
	if len(got) != 1 || got[0].Day == nil || math.Abs(got[0].Day.KineticC-8.109) > 0.001 || len(bodies) != 3 {
		t.Errorf("%d spans: %+v, want 8.109 °C", len(bodies)+1, got)
	}
}

// A week of minutes is a week of entries, one an hour; the bottle says that it was
// measured all the time, and in a refrigerator that stood at 20 °C it is to be
// smelled at twelve days sooner (7 days · (2^1.5 - 1)).
func TestAWarmWeekOfMinutes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newPantryWith(t, onItsOwnWire)
		batch := l.fill(ledger.Fridge, 1)
		l.kill()
		began, uptime := time.Now(), l.uptime
		l.fridge = sensors.AtCelsius(20)
		l.read(20, 20)
		l.probes.says[fridgeProbe] = l.fridge
		opt := l.options()
		l.more(&opt)
		opt.Every = time.Minute
		opt.Clock.Uptime = func() time.Duration { return uptime + time.Since(began) }
		opt.Clock.Wall = func() time.Time { return nine.Add(uptime - 100*time.Second + time.Since(began)) }
		a, err := New(t.Context(), opt)
		if err != nil {
			t.Fatal(err)
		}
		l.app = a
		ctx, cancel := context.WithCancel(context.Background())
		read, gone := make(chan besides), make(chan struct{})
		l.cancel, l.gone = cancel, gone
		var both sync.WaitGroup
		both.Go(func() { a.keepBeside(ctx, read); close(read) })
		// The loop's share alone: ten thousand readings of a bath would take minutes.
		both.Go(func() {
			for r := range read {
				a.takeBeside(ctx, r)
			}
		})
		go func() { both.Wait(); close(gone) }()
		time.Sleep(7*24*time.Hour + time.Minute)
		o := l.bottle(batch, 1)
		k := o.Kept()
		if k == nil || k.KineticC != 20 || k.MaxC != 20 || k.Measured < 0.99 {
			t.Errorf("after a week: %+v", k)
		}
		if o.Sooner != 12 || o.CheckDue != until(t, "2026-05-20") {
			t.Errorf("it is to be smelled at on %s, %d days sooner; want 12, 2026-05-20", o.CheckDue, o.Sooner)
		}
		if n := len(l.spans()); n < 168 || n > 171 {
			t.Errorf("%d entries in a week, want one an hour", n)
		}
		a.Books(func(b *ledger.Ledger, _ ledger.Day) {
			if due := b.PlacesDue(); len(due) != 1 || !due[0].Warm {
				t.Errorf("the shelf is told %+v", due)
			}
		})
	})
}

// What is killed loses at most its hour, and what is missing is a gap: the bottle was
// measured for less of its time. What ends in good order loses nothing.
func TestAKillLosesAnHourAndSaysSo(t *testing.T) {
	l := newPantry(t)
	l.stands(4, 2*time.Minute)
	batch := l.fill(ledger.Fridge, 1)
	l.stands(4, 95*time.Minute)
	l.restart(5 * time.Minute)
	l.stands(4, 60*time.Minute)
	if err := l.app.recordStop(); err != nil {
		t.Fatal(err)
	}
	l.restart(time.Second)
	k := l.bottle(batch, 1).Kept()
	// 160 minutes of which 60 and 59 were kept.
	if k == nil || math.Abs(k.Measured-119.0/160) > 0.02 {
		t.Errorf("it says %+v", k)
	}
	spans := l.spans()
	for i, s := range spans[1:] {
		if s.From < spans[i].To {
			t.Errorf("%+v overlaps %+v", s, spans[i])
		}
	}
	l.mustVerify()
}

// A fault is told as what it is, counts as no temperature, and spares the baths.
func TestFaultsOfAPlaceAreGaps(t *testing.T) {
	l := newPantry(t)
	l.stands(4, 10*time.Minute)
	for _, f := range []sensors.Fault{sensors.Absent, sensors.BadCRC, sensors.PowerOn} {
		l.fridge = sensors.Failed(f)
		l.asItIs(time.Minute)
	}
	if p := l.app.placesNow(); len(p) != 1 || p[0].OK || !math.IsNaN(p[0].Celsius) {
		t.Errorf("the metrics say %+v of a probe without a supply", p)
	}
	l.stands(4, 60*time.Minute)
	s := l.spans()[0]
	if s.Faults["absent"] != 1 || s.Faults["crc"] != 1 || s.Faults["power-on"] != 1 || *s.Max != 4 || *s.Min != 4 {
		t.Errorf("the hour says %+v", s)
	}
	// Three failures in a row: it is asked again ten minutes later.
	if gap := time.Duration(s.To-s.From-s.Measured) * time.Millisecond; gap < 12*time.Minute || gap > 14*time.Minute {
		t.Errorf("%v were not measured", gap)
	}
	if f := l.shown().Faults; f[sensors.Oil] != sensors.NoFault || f[sensors.Bath] != sensors.NoFault {
		t.Errorf("the bath's probes are %v", f)
	}
}

// A bottle's stay begins and ends with a span, so what happened before it came, and
// after it went, is not its own.
func TestAMovedBottleHasItsOwnTime(t *testing.T) {
	l := newPantry(t)
	l.stands(15, 25*time.Minute)
	batch := l.fill(ledger.Room, 1)
	l.fill(ledger.Fridge, 2)
	l.stands(4, 25*time.Minute)
	l.entered(ledger.Moved{Batch: batch, Numbers: []int{1}, Place: ledger.Fridge}, ledger.Moved{Batch: batch, Numbers: []int{2}, Place: ledger.Room})
	l.stands(6, 40*time.Minute)
	l.entered(ledger.Given{Batch: batch, Bottle: 1, All: true, To: "book 12"})
	l.stands(20, 70*time.Minute)
	first, second := l.bottle(batch, 1), l.bottle(batch, 2)
	if k := first.Places[0].Kept; k != nil {
		t.Errorf("nobody measures the room, and it says %+v", k)
	}
	if k := first.Places[1].Kept; k == nil || k.MaxC != 6 || k.KineticC < 5.8 {
		t.Errorf("the bottle that was emptied stood at %+v", k)
	}
	// Until the next reading it still counted as 15 °C, the last minute before.
	if k := second.Places[0].Kept; k == nil || k.KineticC > 5.2 || k.Measured < 0.99 || second.Kept() != nil {
		t.Errorf("the one that was moved away stood at %+v, then %+v", k, second.Kept())
	}
}

// A place on a wire of its own that hangs holds up no bath.
func TestAPlaceOnItsOwnWireHoldsUpNoBath(t *testing.T) {
	l := newPantryWith(t, onItsOwnWire)
	l.probes.says[fridgeProbe] = sensors.AtCelsius(4)
	l.poll(time.Minute)
	if p := l.app.readAll(t.Context()); len(p.places) != 0 || len(p.samples) != 2 {
		t.Fatalf("the baths' poll asked %+v", p.samples)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	r := l.app.readBeside(ctx)
	l.app.beside <- r
	l.settle()
	if p := l.app.placesNow(); len(r.asked) != 1 || !p[0].OK || p[0].Celsius != 4 {
		t.Errorf("asked %d, and the place is %+v", len(r.asked), p)
	}
	if again := l.app.readBeside(ctx); len(again.asked) != 0 {
		t.Error("it was asked again within the minute")
	}
}

// A place's probe is calibrated like a bath's: meanwhile it is away, afterwards its
// correction applies.
func TestThePlacesProbeIsCalibrated(t *testing.T) {
	l := newPantry(t)
	l.probes.air = sensors.Pressure{Pascal: 99500}
	l.stands(4, 3*time.Minute)
	l.mustDo(l.app.StartCalibration(t.Context(), fridgeProbe, "Robin"))
	point := func(c float64) {
		for range 60 {
			l.read(20, 20)
			l.probes.says[fridgeProbe] = inSteps(c)
			l.poll(time.Second)
		}
	}
	point(1)
	l.mustDo(l.app.NextCalibration(t.Context(), fridgeProbe, 0.05, "Robin"))
	point(100.0)
	l.mustDo(l.app.KeepCalibration(t.Context(), fridgeProbe, "Robin"))
	l.stands(5, 60*time.Minute)
	s := l.spans()[0]
	if s.Faults[away] < 1 || *s.Max > 4.1 || math.Abs(*s.Min-4) > 0.1 {
		t.Errorf("the hour says %+v: no ice and no boiling water is in it, and 5 °C read are 4 °C", s)
	}
	probes := l.app.Probes().Probes
	if p := probes[len(probes)-1]; p.Role != "fridge" || p.Bath != "" || p.On != "2026-03-01" || !p.Counts {
		t.Errorf("the page of the probes shows %+v", p)
	}
}

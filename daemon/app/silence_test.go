package app

import (
	"context"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// stuckWire is a Source that hangs until it is let go, also when its context
// ends: as a read inside the kernel does.
type stuckWire struct {
	shelf
	turn chan struct{} // holds one token unless the wire hangs or is being read
}

func (w *stuckWire) Read(ctx context.Context, asked []sensors.Address) ([]sensors.Sample, error) {
	<-w.turn
	defer func() { w.turn <- struct{}{} }()
	return w.shelf.Read(ctx, asked)
}

// In a bubble of testing/synctest nothing takes time but what waits for it, so
// the patience of the loop is tested with the loop's own timers.
func TestAWireThatHangsIsReportedAndPagesStillAnswer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKitchen(t) // for its record and site
		k.did("fill 1.8 kg; light")
		k.kill()
		began := time.Now()
		wire := &stuckWire{shelf: k.probes, turn: make(chan struct{}, 1)}
		wire.turn <- struct{}{}
		opt := k.options()
		opt.Source, opt.Every = wire, time.Second
		opt.Clock.Uptime = func() time.Duration { return k.uptime + time.Since(began) }
		a, err := New(t.Context(), opt)
		if err != nil {
			t.Fatal(err)
		}
		k.app = a
		pages, err := a.handler()
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		polls := make(chan poll)
		k.cancel, k.gone = cancel, make(chan struct{})
		var both sync.WaitGroup
		both.Go(func() { a.keepPolling(ctx, polls) })
		both.Go(func() { a.loop(ctx, polls) })
		go func() { both.Wait(); close(k.gone) }()

		time.Sleep(10 * time.Second)
		if f := k.shown().Faults[sensors.Oil]; f != sensors.NoFault {
			t.Fatalf("the oil probe shows %s before anything happened", f)
		}
		<-wire.turn // it hangs from here on
		time.Sleep(4 * time.Second)
		if f := k.shown().Faults[sensors.Oil]; f != sensors.NoFault {
			t.Errorf("within its patience the loop calls the oil probe %s", f)
		}
		time.Sleep(4 * time.Second)
		if f := k.shown().Faults[sensors.Oil]; f != sensors.Absent {
			t.Errorf("after eight seconds the oil probe shows %s, want no answer", f)
		}
		time.Sleep(40 * time.Second)
		if s := k.shown().Alarms[rules.BathSilent].State; s != alarm.Unacknowledged {
			t.Errorf("after most of a minute bath-silent is %s", s)
		}
		for _, path := range []string{"/", "/bath/north", "/api/bath/north", "/metrics"} {
			w := httptest.NewRecorder()
			pages.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://127.0.0.1"+path, nil))
			if w.Code != http.StatusOK {
				t.Errorf("%s answers %d", path, w.Code)
			}
		}
		if err := a.Event(t.Context(), "north", rules.Event{Kind: rules.TurnDown}, "maker"); err != nil {
			t.Errorf("a deed is refused while the wire hangs: %v", err)
		}
		wire.turn <- struct{}{}
		time.Sleep(15 * time.Second)
		if f := k.shown().Faults[sensors.Oil]; f != sensors.NoFault {
			t.Errorf("when the wire is back the oil probe shows %s", f)
		}
		if s := k.shown().Alarms[rules.BathSilent].State; s != alarm.ReturnedUnacknowledged {
			t.Errorf("when the wire is back bath-silent is %s", s)
		}
		if at := k.shown().Pressure; at <= 0 {
			t.Errorf("the pressure in use is %d Pa", at)
		}
		for _, e := range k.entries() {
			if e.Kind == "reading" && e.Frame.Pressure.Fault != sensors.NotFitted {
				t.Fatalf("entry %d has a pressure, %+v, though there is no barometer", e.Seq, e.Frame.Pressure)
			}
		}
		checkRefold(t, k.entries())
	})
}

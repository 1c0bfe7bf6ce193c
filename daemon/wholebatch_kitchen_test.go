package main

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"bainward/daemon/app"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/sensors"
	"bainward/sensors/barometer"
	"bainward/sensors/bench"
	"bainward/sensors/bench/wire"
	"bainward/sensors/bridge"
)

const wholeSite = `[site]
name = "Alder Yard"
elevation_m = 120
[maker]
name = "Alder Yard, Robin"
address = ["1 Alder Lane", "Alderton"]
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
room_probe = "28-00000a1d3c55"
[[recipe]]
name = "ribwort-double"
herb = "Plantago lanceolata, leaf"
fresh = true
herb_g = 220
oil = "sunflower"
oil_ml = 800
hold_min = 20
macerations = 2
`

// pace is the simulated kitchen's time: it goes on with every poll, in small steps
// while a person looks at the page and in large ones while there is only to wait.
type pace struct {
	now, step atomic.Int64
}

const (
	looking = 20 * time.Millisecond
	waiting = 4 * time.Second
)

func (p *pace) uptime() time.Duration { return time.Duration(p.now.Load()) }

// wholeKitchen is a daemon over one simulated bath in which nothing happens but
// what is entered on the page.
type wholeKitchen struct {
	t       *testing.T
	pace    pace
	live    *bench.Live
	address string
	record  string // its folder
}

func startWholeKitchen(t *testing.T) *wholeKitchen {
	t.Helper()
	k := &wholeKitchen{t: t}
	k.pace.step.Store(int64(looking))
	dir := t.TempDir()
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		// Thousands of commits need not wait for a disk here.
		if shm, err := os.MkdirTemp("/dev/shm", "bainward-whole-"); err == nil {
			dir = shm
			t.Cleanup(func() { _ = os.RemoveAll(shm) })
		}
	}
	k.record = filepath.Join(dir, "record")
	source, air := k.openBath()
	s, err := site.Parse("alder.toml", []byte(wholeSite))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	began := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	ready := make(chan string, 1)
	a, err := app.New(ctx, app.Options{
		Site: s, Source: source, Barometer: air, RecordDir: k.record, Listen: "127.0.0.1:0",
		Every: 4 * time.Millisecond, Logger: slog.New(slog.DiscardHandler), Version: "test", Demo: 1,
		Clock: app.Clock{Uptime: k.pace.uptime, Wall: func() time.Time { return began.Add(k.pace.uptime()) }},
		Before: func(time.Duration) {
			k.pace.now.Add(k.pace.step.Load())
			k.live.AdvanceTo(k.pace.uptime())
		},
		Did:   func(_ string, e rules.Event, _ string) { _ = k.live.Do(e.String()) },
		Ready: func(address string) { ready <- address },
	})
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	k.address = strings.TrimSuffix(<-ready, "/")
	return k
}

// openBath hangs the bath's emulated probes on an emulated bridge.
func (k *wholeKitchen) openBath() (sensors.Source, sensors.Barometer) {
	k.t.Helper()
	script, err := bench.ParseScript("nothing.bath", strings.NewReader("at 48h end\n"))
	if err != nil {
		k.t.Fatal(err)
	}
	rig := bench.DefaultRig()
	rig.Air.Pressure = bench.PressureAt(120)
	if k.live, err = bench.NewLive(rig, script); err != nil {
		k.t.Fatal(err)
	}
	ticks := new(wire.ManualClock)
	line := wire.NewLine(ticks.Clock())
	for _, p := range []struct {
		address string
		celsius func() float64
	}{{"28-00000bbb9b13", k.live.Oil}, {"28-000005fba71c", k.live.BathProbe}, {"28-00000a1d3c55", k.live.Room}} {
		address, err := sensors.ParseAddress(p.address)
		if err != nil {
			k.t.Fatal(err)
		}
		line.Add(wire.ChipOptions{Address: address, Celsius: p.celsius})
	}
	bus := wire.NewBus("whole", ticks.Clock())
	bus.Attach(bridge.DefaultAddr, wire.NewDS2482(line))
	bus.Attach(0x76, wire.NewBMP280(k.live.Pressure))
	source, err := bridge.Open(bridge.Options{Bus: bus, Timing: bridge.Timing{Instant: true}, Wait: ticks.Wait, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		k.t.Fatal(err)
	}
	air, err := barometer.Open(bus, 0x76)
	if err != nil {
		k.t.Fatal(err)
	}
	return source, air
}

func (k *wholeKitchen) wait() { k.pace.step.Store(int64(waiting)) }

func (k *wholeKitchen) look() { k.pace.step.Store(int64(looking)) }

// get fetches an address of the daemon.
func (k *wholeKitchen) get(path string) []byte {
	k.t.Helper()
	answer, err := http.Get(k.address + path)
	if err != nil {
		k.t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK {
		k.t.Fatalf("GET %s: %s, %v\n%.300s", path, answer.Status, err, body)
	}
	return body
}

package app

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"periph.io/x/conn/v3/physic"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/calibrate"
	"bainward/rules/steam"
	"bainward/sensors"
)

// newCalibrator is a kitchen with a barometer.
func newCalibrator(t *testing.T) *kitchen {
	k := newKitchen(t)
	k.probes.air = sensors.Pressure{Pascal: 99500}
	k.poll(time.Second)
	return k
}

// inSteps is what a chip at 12 bits makes of celsius.
func inSteps(celsius float64) sensors.Reading {
	return sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(math.Round(celsius*16))*(physic.Celsius/16)}
}

// says has the bath probe say what f gives for so many polls, one a second.
func (k *kitchen) says(n int, f func(i int) float64) {
	k.t.Helper()
	for i := range n {
		k.probes.says[bathProbe] = inSteps(f(i))
		k.poll(time.Second)
	}
}

func steadily(c float64) func(int) float64 { return func(int) float64 { return c } }

func (k *kitchen) calibration() *dashboards.Calibration { return k.app.Probes().Calibration }

func (k *kitchen) mustStand(step dashboards.CalibrationStep) *dashboards.Calibration {
	k.t.Helper()
	c := k.calibration()
	if c == nil || c.Step != step {
		k.t.Fatalf("the calibration stands at %+v, want %s", c, step)
	}
	return c
}

func (k *kitchen) mustDo(err error) {
	k.t.Helper()
	if err != nil {
		k.t.Fatal(err)
	}
}

// through leads the bath probe through both points, 5 cm deep.
func (k *kitchen) through(ice, boil float64) {
	k.t.Helper()
	k.mustDo(k.app.StartCalibration(k.t.Context(), bathProbe, "Robin"))
	k.says(calibrate.Needed, steadily(ice))
	k.mustStand(dashboards.CalibrationMove)
	k.mustDo(k.app.NextCalibration(k.t.Context(), bathProbe, 0.05, "Robin"))
	k.says(calibrate.Needed, steadily(boil))
	k.mustStand(dashboards.CalibrationResult)
}

func (k *kitchen) bathCorrection() rules.Correction { return k.app.baths[0].cfg.Probes[sensors.Bath] }

// A probe is led through ice and boil; what is kept is in the record and, no batch
// being open, in the bath's config at once, and after a restart.
func TestAProbeIsLedThroughItsCalibration(t *testing.T) {
	k := newCalibrator(t)
	k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
	k.says(30, func(i int) float64 { return 20 * math.Exp(-float64(i)/12) })
	if c := k.mustStand(dashboards.CalibrationIce); !strings.Contains(c.Wait, "30 of 60 readings") || c.Reads == nil || c.N != 30 {
		t.Errorf("on its way into the ice it says %+v", c)
	}
	k.says(60, func(i int) float64 { return 0.3 + 20*math.Exp(-float64(i+30)/12) })
	if c := k.mustStand(dashboards.CalibrationIce); !strings.Contains(c.Wait, "still falls") {
		t.Errorf("it is told to be %q", c.Wait)
	}
	k.says(60, steadily(0.3125))
	c := k.mustStand(dashboards.CalibrationMove)
	if c.Ice == nil || math.Abs(c.Ice.Reads-0.3125) > 0.07 || c.Ice.N != calibrate.Needed || !strings.Contains(c.Say, "rolling boil") {
		t.Fatalf("the ice point is %+v, and then %q", c.Ice, c.Say)
	}
	k.mustDo(k.app.NextCalibration(t.Context(), bathProbe, 0.05, "Robin"))
	k.says(60, steadily(99.1875))
	c = k.mustStand(dashboards.CalibrationResult)
	// IAPWS R7-97: 99.47 °C at 99.5 kPa; 5 cm of water add 0.13 K.
	if c.Result == nil || math.Abs(c.Boil.True-99.59) > 0.02 || c.Result.U > 0.5 || c.Result.AtBoil < 0.3 {
		t.Fatalf("the result is %+v at a boil of %+v", c.Result, c.Boil)
	}
	k.mustDo(k.app.KeepCalibration(t.Context(), bathProbe, "Robin"))
	k.mustStand(dashboards.CalibrationOver)
	kept := k.bathCorrection()
	near := func(raw, want float64) {
		t.Helper()
		if got := kept.Celsius(raw); math.Abs(got-want) > 1e-6 {
			t.Errorf("%.4f is corrected to %.6f, want %.6f", raw, got, want)
		}
	}
	near(c.Ice.Reads, 0)
	near(c.Boil.Reads, c.Boil.True)
	if kept.On != "2026-03-01" || kept.Uncertainty != c.Result.U || !kept.Fitted {
		t.Errorf("the rules go by %+v", kept)
	}
	if n := k.count(record.KindCalibration); n != 1 {
		t.Errorf("%d calibrations in the record", n)
	}
	k.restart(time.Minute)
	if got := k.bathCorrection(); got != kept {
		t.Errorf("after a restart the rules go by %+v, want %+v", got, kept)
	}
	p := k.app.Probes().Probes[1]
	if p.On != "2026-03-01" || p.Due != "2027-03-01" || p.Overdue || p.By != "Robin" || !p.Counts {
		t.Errorf("the page shows %+v", p)
	}
	k.uptime += 366 * 24 * time.Hour
	if p := k.app.Probes().Probes[1]; !p.Overdue {
		t.Errorf("a year and a day later it is not overdue: %+v", p)
	}
	checkRefold(t, k.entries())
}

// A probe in ice and in boiling water is not a bath that cools and is lit.
func TestTheBathDoesNotSeeItsProbeBeingCalibrated(t *testing.T) {
	k := newCalibrator(t)
	k.through(0.25, 99.5)
	if k.batch() != "" || k.bath().Rules.Begun() {
		t.Error("a batch was opened")
	}
	if _, fault := k.bath().Rules.Celsius(sensors.Bath); fault != sensors.NotFitted {
		t.Errorf("the bath probe is %v meanwhile", fault)
	}
	k.mustDo(k.app.CancelCalibration(t.Context(), bathProbe, "Robin"))
	k.says(2, steadily(60))
	if c, fault := k.bath().Rules.Celsius(sensors.Bath); fault != sensors.NoFault || c != 60 {
		t.Errorf("back in the bath it says %v, %v", c, fault)
	}
	if k.bathCorrection().Uncertainty != 0 || k.count(record.KindCalibration) != 0 {
		t.Error("something was kept though it was cancelled")
	}
}

// While a batch is open its correction stays; the next batch goes by the new one.
func TestAnOpenBatchKeepsItsCorrection(t *testing.T) {
	k := newCalibrator(t)
	k.hold()
	k.did("strain; bottle 640 ml")
	k.read(30, 30)
	k.pollFor(time.Minute)
	k.through(0.25, 99.5)
	k.mustDo(k.app.KeepCalibration(t.Context(), bathProbe, "Robin"))
	if k.bathCorrection().Uncertainty != 0 {
		t.Error("the correction came into an open batch")
	}
	if p := k.app.Probes().Probes[1]; p.Counts || p.On == "" {
		t.Errorf("the page shows %+v", p)
	}
	first := k.batch()
	k.restart(time.Second)
	if k.bathCorrection().Uncertainty != 0 || k.batch() != first {
		t.Error("a restart brought the correction into an open batch")
	}
	t.Run("and a batch that follows at once has it", func(t *testing.T) {
		k.did("fill 1.8 kg")
		if k.batch() == first || k.batch() == "" || k.bathCorrection().Uncertainty == 0 {
			t.Errorf("batch %q goes by %+v", k.batch(), k.bathCorrection())
		}
	})
	checkRefold(t, k.entries())
}

// Once a batch is closed, an hour after it ended, the correction counts.
func TestTheCorrectionCountsOnceTheBatchIsClosed(t *testing.T) {
	k := newCalibrator(t)
	k.hold()
	k.did("strain; bottle 640 ml")
	k.through(0.25, 99.5)
	k.mustDo(k.app.KeepCalibration(t.Context(), bathProbe, "Robin"))
	k.read(30, 30)
	k.pollFor(62 * time.Minute)
	if k.batch() != "" || k.bathCorrection().Uncertainty == 0 {
		t.Errorf("batch %q; the bath goes by %+v", k.batch(), k.bathCorrection())
	}
	checkRefold(t, k.entries())
}

// A restart in the middle begins anew: nothing was kept, nothing is half done, and
// whoever stands there with the ice is told, once.
func TestARestartInTheMiddleBeginsAnew(t *testing.T) {
	k := newCalibrator(t)
	k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
	k.says(calibrate.Needed, steadily(0.25))
	k.mustStand(dashboards.CalibrationMove)
	k.restart(time.Second)
	if c := k.mustStand(dashboards.CalibrationOver); c.Probe != bathProbe.String() || !strings.Contains(c.Say, "cut off by a restart") || !strings.Contains(c.Say, "begin again") {
		t.Errorf("after the restart it says %+v", c)
	}
	k.poll(time.Second)
	if err := k.app.NextCalibration(t.Context(), bathProbe, 0.05, "Robin"); err == nil || !strings.Contains(err.Error(), "start it first") {
		t.Errorf("to go on gives %v", err)
	}
	if k.count(record.KindCalibration) != 0 || k.bathCorrection().Uncertainty != 0 {
		t.Error("something was kept")
	}
	want := []record.Calibrating{
		{Probe: bathProbe.String(), Step: "started", By: "Robin"},
		{Probe: bathProbe.String(), Step: "ended", Why: cutOffByRestart},
	}
	if got := bodiesOf[record.Calibrating](k, record.KindCalibrating); !slices.Equal(got, want) {
		t.Errorf("the record says %+v, want %+v", got, want)
	}
	k.restart(time.Second)
	if c := k.calibration(); c != nil {
		t.Errorf("after another restart it is told again: %+v", c)
	}
}

// Every step says who took it; one that ends by itself says why.
func TestTheRecordSaysWhoCalibrates(t *testing.T) {
	k := newCalibrator(t)
	ctx, probe := t.Context(), bathProbe.String()
	k.mustDo(k.app.StartCalibration(ctx, bathProbe, "Sorrel"))
	k.mustDo(k.app.CancelCalibration(ctx, bathProbe, "Robin"))
	k.through(0.25, 99.25)
	k.mustDo(k.app.KeepCalibration(ctx, bathProbe, "Sorrel"))
	k.mustDo(k.app.StartCalibration(ctx, bathProbe, ""))
	k.poll(calibrateWithin + time.Second)
	k.poll(time.Second)
	k.poll(time.Second)
	got := bodiesOf[record.Calibrating](k, record.KindCalibrating)
	want := []record.Calibrating{
		{Probe: probe, Step: "started", By: "Sorrel"}, {Probe: probe, Step: "cancelled", By: "Robin"},
		{Probe: probe, Step: "started", By: "Robin"}, {Probe: probe, Step: "boil", By: "Robin", Depth: 0.05}, {Probe: probe, Step: "kept", By: "Sorrel"},
		{Probe: probe, Step: "started", By: "somebody at the page"},
		{Probe: probe, Step: "ended", Why: "an hour has passed, and the ice has melted by now: begin again with fresh ice"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("the record says\n%+v, want\n%+v", got, want)
	}
	log := logOf(k)
	for _, line := range []string{"probe " + probe + " taken out to be calibrated (Sorrel)", "calibration of probe " + probe + " cancelled (Robin)", "ended: an hour has passed"} {
		if !strings.Contains(log, line) {
			t.Errorf("the log of the bath lacks %q:\n%s", line, log)
		}
	}
}

// What cannot be is refused, and says why.
func TestWhatIsNoCalibration(t *testing.T) {
	refused := func(t *testing.T, err error, want string) {
		t.Helper()
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	t.Run("an unknown probe", func(t *testing.T) {
		k := newCalibrator(t)
		refused(t, k.app.StartCalibration(t.Context(), sensors.NewAddress(sensors.FamilyDS18B20, 7), "Robin"), "no bath of this site has it")
	})
	t.Run("two at a time", func(t *testing.T) {
		k := newCalibrator(t)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		refused(t, k.app.StartCalibration(t.Context(), oilProbe, "Robin"), "one at a time")
		refused(t, k.app.CancelCalibration(t.Context(), oilProbe, "Robin"), "is not being calibrated")
	})
	t.Run("without a barometer", func(t *testing.T) {
		k := newKitchen(t)
		k.poll(time.Second)
		refused(t, k.app.StartCalibration(t.Context(), bathProbe, "Robin"), "K only (the weather moves the pressure by ±3 kPa)")
	})
	t.Run("a barometer that falls silent", func(t *testing.T) {
		k := newCalibrator(t)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.says(calibrate.Needed, steadily(0))
		k.mustDo(k.app.NextCalibration(t.Context(), bathProbe, 0, "Robin"))
		k.probes.air = sensors.Pressure{Fault: sensors.Absent}
		k.says(calibrate.Needed, steadily(99.5))
		if c := k.mustStand(dashboards.CalibrationBoil); !strings.Contains(c.Wait, "barometer does not answer") {
			t.Errorf("it says %q", c.Wait)
		}
	})
	t.Run("water of 3 °C", func(t *testing.T) {
		k := newCalibrator(t)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.says(calibrate.Needed, steadily(3))
		if c := k.mustStand(dashboards.CalibrationIce); !strings.Contains(c.Wait, "it reads 3.0 °C, and that is not ice water") {
			t.Errorf("it says %q", c.Wait)
		}
		refused(t, k.app.NextCalibration(t.Context(), bathProbe, 0.05, "Robin"), "not ice water")
		refused(t, k.app.KeepCalibration(t.Context(), bathProbe, "Robin"), "both points must be taken")
		refused(t, k.app.KeepCalibration(t.Context(), bathProbe, ""), "who")
	})
	t.Run("water that does not boil", func(t *testing.T) {
		k := newCalibrator(t)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.says(calibrate.Needed, steadily(0))
		refused(t, k.app.NextCalibration(t.Context(), bathProbe, 2, "Robin"), "200 cm below the surface")
		k.mustDo(k.app.NextCalibration(t.Context(), bathProbe, 0.05, "Robin"))
		k.says(calibrate.Needed, steadily(90))
		if c := k.mustStand(dashboards.CalibrationBoil); !strings.Contains(c.Wait, "that is not a rolling boil") {
			t.Errorf("it says %q", c.Wait)
		}
	})
	t.Run("a probe more than 2 K off", func(t *testing.T) {
		k := newCalibrator(t)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.says(calibrate.Needed, steadily(2.25))
		if c := k.mustStand(dashboards.CalibrationOver); !strings.Contains(c.Say, "throw it away") {
			t.Errorf("it says %q", c.Say)
		}
	})
	t.Run("a lit bath", func(t *testing.T) {
		k := newCalibrator(t)
		k.did("fill 1.8 kg; charge 220 g")
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.did("light")
		k.poll(time.Second)
		if c := k.mustStand(dashboards.CalibrationOver); !strings.Contains(c.Say, "bath north was lit") {
			t.Errorf("it says %q", c.Say)
		}
		refused(t, k.app.StartCalibration(t.Context(), bathProbe, "Robin"), "bath north is lit")
	})
	t.Run("an hour later", func(t *testing.T) {
		k := newCalibrator(t)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.says(1, steadily(5))
		k.poll(time.Hour)
		if c := k.mustStand(dashboards.CalibrationOver); !strings.Contains(c.Say, "an hour has passed") {
			t.Errorf("it says %q", c.Say)
		}
	})
}

// Probes with errors of a known line, in ice and boiling water as good as a kitchen's
// and a barometer as good as its data sheet, are calibrated through the app; the
// truth at 60 and at 90 °C then lies within the expanded uncertainty in 95 of 100
// (JCGM 100:2008, 6.3.3).
func TestTheTruthLiesWithinTheUncertainty(t *testing.T) {
	const probes = 100
	r := rand.New(rand.NewPCG(11, 2026))
	even := func(half float64) float64 { return half * (2*r.Float64() - 1) }
	k := newCalibrator(t)
	at := map[float64]int{60: 0, 90: 0}
	worst := 0.0
	for range probes {
		gain, offset, bend := 1+even(0.01), even(0.5), even(0.2)
		reads := func(c float64) float64 { // what the chip makes of a truth
			w := c / 100
			return offset + gain*c + bend*4*w*(1-w)
		}
		pascal := 97000 + 4000*r.Float64()
		k.probes.air = sensors.Pressure{Pascal: int32(pascal + even(200))}
		ice := even(0.1)
		boil := steam.BoilingPoint(pascal+even(1)*0.05*9400*0.5+0.05*9400*0.5) + even(0.1)
		k.mustDo(k.app.StartCalibration(t.Context(), bathProbe, "Robin"))
		k.says(calibrate.Needed, func(int) float64 { return reads(ice) + 0.03*r.NormFloat64() })
		k.mustDo(k.app.NextCalibration(t.Context(), bathProbe, 0.05, "Robin"))
		k.says(calibrate.Needed, func(int) float64 { return reads(boil) + 0.08*r.NormFloat64() })
		k.mustStand(dashboards.CalibrationResult)
		k.mustDo(k.app.KeepCalibration(t.Context(), bathProbe, "Robin"))
		c := k.bathCorrection()
		for truth := range at {
			off := math.Abs(c.Celsius(inSteps(reads(truth)).Temperature.Celsius()) - truth)
			worst = max(worst, off/c.Uncertainty)
			if off <= c.Uncertainty {
				at[truth]++
			}
		}
	}
	t.Logf("the worst is %.2f of U off", worst)
	for truth, n := range at {
		if n < 95 {
			t.Errorf("at %.0f °C the truth lies within U in %d of %d", truth, n, probes)
		}
	}
	if worst < 0.2 {
		t.Errorf("U is five times what anything is off by: it says nothing")
	}
}

// Whoever doubts a calibration finds in the record the raw readings that it rests on:
// they stand where the config says that the probe is away.
func TestTheReadingsOfACalibrationAreInTheRecord(t *testing.T) {
	k := newCalibrator(t)
	k.through(0.25, 99.5)
	k.mustDo(k.app.KeepCalibration(t.Context(), bathProbe, "Robin"))
	k.says(2, steadily(60))
	var away bool
	var turns int
	read := map[float64]int{}
	for _, e := range k.entries() {
		switch e.Kind {
		case record.KindConfig:
			var c record.Config
			k.mustDo(e.Decode(&c))
			if now := c.Probes[sensors.Bath].Away; now != away {
				away = now
				turns++
			}
		case record.KindReading:
			if away {
				read[e.Frame.Probes[sensors.Bath].Celsius()]++
			}
		}
	}
	if read[0.25] < calibrate.Needed || read[99.5] < calibrate.Needed || turns != 2 || away {
		t.Errorf("the record has %v; the probe left or came %d times and is away: %v", read, turns, away)
	}
	if c := k.bathCorrection(); c.IceReads != 0.25 || c.BoilReads != 99.5 || c.Due != "2027-03-01" {
		t.Errorf("the bath's config says %+v", c)
	}
	checkRefold(t, k.entries())
}

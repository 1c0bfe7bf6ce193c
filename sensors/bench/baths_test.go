package bench

import (
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/sensors"
)

const baths = "../../testdata/baths"

func load(t testing.TB, name string) Script {
	t.Helper()
	s, err := LoadScript(filepath.Join(baths, name+".bath"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// moment is one frame of a run.
type moment struct {
	sensors.Frame
	events string
	truth  Truth
}

func play(t testing.TB, r Rig, s Script, every time.Duration) []moment {
	t.Helper()
	var run []moment
	err := Run(r, s, every, func(f sensors.Frame, events string, truth Truth) {
		run = append(run, moment{f, events, truth})
	})
	if err != nil {
		t.Fatal(err)
	}
	return run
}

func lastTruth(t testing.TB, r Rig, s Script) Truth {
	t.Helper()
	run := play(t, r, s, time.Second)
	return run[len(run)-1].truth
}

// want is every script there is: a script added without a line here fails.
var want = []string{
	"boil-dry-floor", "boil-dry-hanging", "cold-top-up-unlogged", "direct-heat", "dish-bare", "drifted-probe", "early-strain",
	"forgotten-top-up", "hob-out", "low-weather", "nominal-0m", "nominal-1500m", "nominal-2500m", "probe-dropout", "swapped-probes",
}

func TestEveryBathScriptCanBePlayed(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(baths, "*.bath"))
	if err != nil || len(files) != len(want) {
		t.Fatalf("found %d bath scripts, know %d (%v)", len(files), len(want), err)
	}
	for i, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".bath")
		if name != want[i] {
			t.Errorf("script %s is not known here", name)
		}
		run := play(t, DefaultRig(), load(t, name), time.Minute)
		if run[0].events == "" {
			t.Errorf("%s: nothing is entered at the start", name)
		}
	}
}

// Common practice, no source: the oil settles some 5 to 12 K below the boil,
// more while the herb gives up its water.
func TestOilStaysBelowANominalBath(t *testing.T) {
	const floorBelow = 15
	for _, name := range []string{"nominal-0m", "nominal-1500m", "nominal-2500m"} {
		var held time.Duration
		for _, m := range play(t, DefaultRig(), load(t, name), time.Second) {
			tr := m.truth
			if tr.OilC > tr.BoilingC {
				t.Fatalf("%s: oil above the boiling point at %s", name, m.At)
			}
			if tr.FirstBare != Never {
				t.Fatalf("%s: the dish base goes bare at %s", name, tr.FirstBare)
			}
			if tr.Dish == OnStand && tr.OilC >= tr.BoilingC-floorBelow {
				held += time.Second
			}
			simmers := tr.Dish == OnStand && m.At > 45*time.Minute && tr.Vigour > 0.1
			if lag := tr.WaterC - tr.OilC; simmers && (lag < 3 || lag > 15) {
				t.Fatalf("%s: the oil is %.1f K below the bath at %s, want 3 to 15", name, lag, m.At)
			}
		}
		if held < 2*time.Hour {
			t.Errorf("%s: held for %s only", name, held)
		}
	}
}

// The estimate of a simmer in the design: about half a kilogram an hour from
// some 450 W, which is why water is wanted every half hour.
func TestANominalBathLosesHalfAKilogramAnHour(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "nominal-0m"), time.Minute)
	a, b := run[90].truth.Books, run[105].truth.Books // between top-ups
	near(t, "kg/h", (b.VapourKg-a.VapourKg)*4, 0.55, 0.06)
	near(t, "W into the pan", (b.HeatJ-a.HeatJ)/900, 450, 10)
}

func TestTheBaseIsBareLongBeforeThePanIsDry(t *testing.T) {
	for _, name := range []string{"boil-dry-floor", "boil-dry-hanging"} {
		end := lastTruth(t, DefaultRig(), load(t, name))
		if end.FirstBare == Never || end.FirstDry == Never || end.FirstDry-end.FirstBare < time.Hour {
			t.Errorf("%s: bare at %s, dry at %s", name, end.FirstBare, end.FirstDry)
		}
	}
}

func TestAProbeOnTheFloorRisesOnlyWhenThePanIsDry(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "boil-dry-floor"), time.Second)
	dry := run[len(run)-1].truth.FirstDry
	boil := run[len(run)-1].truth.BoilingC
	for _, m := range run {
		bath := m.Probes[sensors.Bath]
		switch {
		case m.At < dry && bath.Celsius() > boil+1:
			t.Fatalf("at %s, before the pan is dry, the probe reads %.2f °C", m.At, bath.Celsius())
		case m.At == (dry+90*time.Second).Truncate(time.Second) && bath.OK() && bath.Celsius() < boil+10:
			t.Fatalf("ninety seconds after the pan ran dry the probe reads only %.2f °C", bath.Celsius())
		}
	}
}

func TestAHangingProbeCoolsWhenTheSteamIsGone(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "boil-dry-hanging"), time.Second)
	dry := int(run[len(run)-1].truth.FirstDry / time.Second)
	before, lowest := run[dry-300].Probes[sensors.Bath].Celsius(), 1e9
	for _, m := range run[dry : dry+300] {
		lowest = min(lowest, m.Probes[sensors.Bath].Celsius())
	}
	if before < 95 || lowest > before-10 {
		t.Errorf("in steam %.1f °C, lowest after the pan ran dry %.1f °C: want a fall of ten degrees", before, lowest)
	}
}

func TestABareBaseLetsTheOilCool(t *testing.T) {
	for _, name := range []string{"dish-bare", "forgotten-top-up"} {
		var bare time.Duration
		var first, last float64
		for _, m := range play(t, DefaultRig(), load(t, name), time.Second) {
			if m.truth.Bare {
				if bare += time.Second; bare == time.Second {
					first = m.truth.OilC
				}
				last = m.truth.OilC
			}
		}
		if bare < 15*time.Minute || bare > 25*time.Minute {
			t.Errorf("%s: bare for %s, want about twenty minutes", name, bare)
		}
		if last > first-3 {
			t.Errorf("%s: the oil went from %.1f to %.1f °C over the bare base", name, first, last)
		}
	}
}

func TestDirectHeatPinsTheOilUntilTheHerbIsDryAndThenBurnsIt(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "direct-heat"), time.Second)
	for _, m := range run {
		if tr := m.truth; tr.HerbWaterKg > 0.03 && tr.OilC > tr.BoilingC+3 {
			t.Fatalf("at %s a wet herb lets the oil have %.1f °C", m.At, tr.OilC)
		}
	}
	end := run[len(run)-1]
	if oil, bath := end.Probes[sensors.Oil], end.Probes[sensors.Bath]; oil.OK() && oil.Celsius() < 110 || bath.Celsius() > 101 {
		t.Errorf("at the end the oil reads %.1f and the bath %.1f °C", oil.Celsius(), bath.Celsius())
	}
}

func TestABathWithoutHeatFallsOffTheSimmer(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "hob-out"), time.Minute)
	if c := run[115].truth.WaterC; c > 90 {
		t.Errorf("25 min after the hob went out the bath has %.1f °C", c)
	}
}

func TestStrainedOilCoolsWithItsProbeInIt(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "early-strain"), time.Minute)
	at, later := run[120].Probes[sensors.Oil].Celsius(), run[140].Probes[sensors.Oil].Celsius()
	if later > at-10 || later < 50 {
		t.Errorf("the oil went from %.1f to %.1f °C in twenty minutes", at, later)
	}
	if kept := run[0].truth.OilKg - run[140].truth.OilKg; math.Abs(kept-0.066) > 1e-6 {
		t.Errorf("the marc kept %.3f kg of oil, want a kilogram for each of its 0.066 kg", kept)
	}
}

func TestSwappedProbesReadEachOthersPlace(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "swapped-probes"), time.Minute)
	m := run[40]
	near(t, "oil probe in the bath", m.Probes[sensors.Oil].Celsius(), m.truth.WaterC, 1)
	near(t, "bath probe in the oil", m.Probes[sensors.Bath].Celsius(), m.truth.OilC, 1)
}

func TestProbeFaultsComeAndGo(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "probe-dropout"), time.Second)
	for at, want := range map[time.Duration]sensors.Fault{
		39 * time.Minute: sensors.NoFault, 40 * time.Minute: sensors.BadCRC, 41 * time.Minute: sensors.NoFault,
		65 * time.Minute: sensors.PowerOn, 92 * time.Minute: sensors.Absent,
	} {
		if got := run[int(at/time.Second)].Probes[sensors.Oil].Fault; got != want {
			t.Errorf("at %s the oil probe is %q, want %q", at, got, want)
		}
	}
	stuck, later := run[71*60].Probes[sensors.Oil], run[79*60].Probes[sensors.Oil]
	if !stuck.OK() || stuck != later {
		t.Errorf("a stuck probe went from %v to %v", stuck, later)
	}
}

func TestAnUnenteredPourIsSeenByTheProbesAlone(t *testing.T) {
	run := play(t, DefaultRig(), load(t, "cold-top-up-unlogged"), time.Second)
	before, after := run[76*60-1], run[76*60+30]
	if after.events != "" || run[76*60].events != "" {
		t.Error("the pour was entered")
	}
	if fall := before.Probes[sensors.Bath].Celsius() - after.Probes[sensors.Bath].Celsius(); fall < 10 {
		t.Errorf("half a kilogram of cold water cooled the bath probe by %.1f K only", fall)
	}
}

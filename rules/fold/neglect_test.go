package fold_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
	"bainward/sensors"
	"bainward/sensors/bench"
)

// neglectScript is the kitchen's morning up to where nobody comes any more: fill,
// light, turn-down, one honest top-up in every other kitchen, then the hands of
// the sabotage.
func neglectScript(t *testing.T, rig bench.Rig, h hands) (script bench.Script, act time.Duration) {
	t.Helper()
	begin := fmt.Sprintf("at 0s fill %.2f kg; charge\nat 1m light\n", rig.Pan.FillKg)
	down, boilC := boilsIn(t, rig, begin)
	var b strings.Builder
	fmt.Fprintf(&b, "%sat %s turn-down\n", begin, down)
	act = down + 12*time.Minute + time.Duration(rig.Seed%7)*2*time.Minute
	if rig.Seed%2 == 1 {
		fmt.Fprintf(&b, "at %s top-up 0.3 kg\n", down+20*time.Minute)
		act += 20 * time.Minute
	}
	do := func(is bool, what string, args ...any) {
		if is {
			fmt.Fprintf(&b, "at %s "+what+"\n", append([]any{act}, args...)...)
		}
	}
	do(h.pour > 0, "pour %.2f kg", h.pour)
	do(h.kettle > 0, "tap %.1f C", boilC-4)
	do(h.kettle > 0, "pour %.2f kg", h.kettle)
	do(h.ladle > 0, "ladle %.2f kg", h.ladle)
	do(h.turnUp, "hob full")
	fmt.Fprintf(&b, "at %s end\n", neglectMost)
	return parsed(t, b.String()), act
}

func parsed(t *testing.T, text string) bench.Script {
	t.Helper()
	s, err := bench.ParseScript("neglect", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func living(t *testing.T, rig bench.Rig, s bench.Script) *bench.Live {
	t.Helper()
	live, err := bench.NewLive(rig, s)
	if err != nil {
		t.Fatal(err)
	}
	return live
}

// boilsIn returns when a maker who looks in turns the hob down, and the boiling
// point then.
func boilsIn(t *testing.T, rig bench.Rig, begin string) (down time.Duration, boilC float64) {
	t.Helper()
	live := living(t, rig, parsed(t, begin+"at 3h end\n"))
	for ; down < 3*time.Hour; down += 30 * time.Second {
		live.AdvanceTo(down)
		if now := live.Truth(); now.WaterC > now.BoilingC-0.7 {
			return down, now.BoilingC
		}
	}
	t.Fatalf("kitchen %d never boils", rig.Seed)
	return 0, 0
}

// neglected plays a kitchen until its pan has been dry for five minutes.
func neglected(t *testing.T, rig bench.Rig, h hands) neglect {
	t.Helper()
	script, act := neglectScript(t, rig, h)
	live := living(t, rig, script)
	n := neglect{low: bench.Never, hanging: rig.BathProbe.Place == bench.Hanging}
	for at := time.Duration(0); at < neglectMost; at += neglectFrame {
		due := live.AdvanceTo(at)
		n.rows = append(n.rows, rowOf(t, live, script.Start, at, due))
		if at < act {
			n.act = len(n.rows)
		}
		now, base := live.Truth(), rig.True.DishBaseHeight
		if n.low == bench.Never && at > 5*time.Minute && now.LevelMM < base+nearBase {
			n.low = at
		}
		if now.Dry {
			n.dry = now.DrySince
			if at-n.dry > 5*time.Minute {
				break
			}
			continue
		}
		n.bare = now.BareSince
		// As high as a wave of the bench reaches.
		if now.LevelMM > base-1.5*(1+now.Vigour) {
			n.wave = at
		}
	}
	if n.dry == 0 || n.bare == bench.Never {
		t.Fatalf("kitchen %d, %+v: bare at %s, dry at %s", rig.Seed, h, n.bare, n.dry)
	}
	n.wave = max(n.wave, n.bare)
	return n
}

// rowOf is what the wires and the maker give at an instant.
func rowOf(t *testing.T, live *bench.Live, start time.Time, at time.Duration, due []bench.Due) trace.Row {
	t.Helper()
	row := trace.Row{Wall: start.Add(at), At: at, Pressure: sensors.Pressure{Pascal: int32(live.Pressure())}}
	for role, c := range [...]float64{sensors.Oil: live.Oil(), sensors.Bath: live.BathProbe(), sensors.Room: live.Room()} {
		row.Probes[role] = onChip(c)
	}
	for _, d := range due {
		said, err := rules.ParseEvents(d.Events)
		if err != nil {
			t.Fatal(err)
		}
		row.Events = append(row.Events, said...)
	}
	return row
}

// onChip is what a DS18B20 says of c °C: steps of 1/16 °C up to 125 °C (data
// sheet 19-7487).
func onChip(c float64) sensors.Reading {
	if c > 125 {
		return sensors.Failed(sensors.OutOfRange)
	}
	return sensors.AtCelsius(math.Round(c*16) / 16)
}

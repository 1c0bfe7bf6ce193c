package fold_test

import (
	"fmt"
	"os"
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bench"
)

func TestDump(t *testing.T) {
	f, _ := os.Create("/tmp/w/dump.txt")
	for seed := uint64(1); seed <= 30; seed++ {
		rig := bench.Vary(seed)
		rig.BathProbe.Place = bench.Hanging
		if rig.BathProbe.Height == 0 {
			rig.BathProbe.Height = 0.4 * rig.True.DishBaseHeight
		}
		rig.Pan.FillKg = 0.85 * rig.True.BareKg(99)
		script, _ := bench.Attend(rig, bench.Habits{Hold: 20 * time.Hour, Longest: 8 * time.Hour})
		rows, truth := run(t, rig, script, time.Second)
		dry := truth[len(truth)-1].FirstDry
		fmt.Fprintf(f, "seed %d h %.0f lag %.0f airlag %.0f flux %.0f:", seed, rig.BathProbe.Height, rig.BathProbe.Lag, rig.BathProbe.AirLag, rig.Pan.SteamFlux)
		for i := range rows {
			d := int((rows[i].At - dry).Seconds())
			if d >= -240 && d <= 300 && d%20 == 0 {
				fmt.Fprintf(f, " %d:%.1f", d, rows[i].Probes[sensors.Bath].Celsius()-truth[i].BoilingC)
			}
		}
		fmt.Fprintln(f)
	}
	f.Close()
}

package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules/fold"
	"bainward/sensors"
)

// boilsKept is how many boils of a probe are at hand: a drift shows in fewer.
const boilsKept = 10

// boilSeen is how a bath probe stood on the hardest boil of a maceration.
type boilSeen struct {
	record.Boil
	wall time.Time // when the heat ended
}

// boiled drafts how the bath probe stood on its boil, once the heat has ended.
func (d *draft) boiled(b *bath, state *fold.Bath) {
	address := b.probes[sensors.Bath]
	if boil, ok := state.Rules.Boil(); ok && address != 0 {
		d.add(b.name, record.BoilOf(address, boil))
	}
}

// openBoils reads the last boils of each probe back.
func (a *App) openBoils(ctx context.Context) error {
	entries, err := a.record.OfKind(ctx, record.KindBoil)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := a.keepBoil(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	return nil
}

// keepBoil takes a recorded entry in; most are none.
func (a *App) keepBoil(e record.Entry) error {
	if e.Kind != record.KindBoil {
		return nil
	}
	var boil record.Boil
	if err := e.Decode(&boil); err != nil {
		return err
	}
	address, err := boil.Address()
	if err != nil {
		return err
	}
	if a.boiled == nil {
		a.boiled = map[sensors.Address][]boilSeen{}
	}
	all := append(a.boiled[address], boilSeen{Boil: boil, wall: e.Wall})
	a.boiled[address] = all[max(0, len(all)-boilsKept):]
	return nil
}

// boilsOf puts boils down for people and programs, newest first.
func boilsOf(all []boilSeen) []dashboards.ProbeBoil {
	list := make([]dashboards.ProbeBoil, 0, len(all))
	for _, b := range slices.Backward(all) {
		list = append(list, dashboards.ProbeBoil{At: b.wall, Off: b.Off, Boiling: b.Boiling, Measured: b.Measured})
	}
	return list
}

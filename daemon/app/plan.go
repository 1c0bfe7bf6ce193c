package app

import (
	"context"
	"math"

	"bainward/daemon/web"
	"bainward/rules/batch"
	"bainward/sensors"
)

// Plan reckons a batch with the pressure and the room's temperature of this
// moment, where they are measured, and with what earlier batches taught about
// the bath. It changes nothing.
func (a *App) Plan(_ context.Context, ask web.PlanAsk) (batch.Plan, error) {
	b, err := a.findBath(ask.Bath)
	if err != nil {
		return batch.Plan{}, err
	}
	full, err := a.opt.Site.Ask(ask.Bath, ask.Recipe)
	if err != nil {
		return batch.Plan{}, err
	}
	for _, now := range a.Snapshots() {
		if now.Bath != ask.Bath {
			continue
		}
		if now.Measured && now.Pressure > 0 {
			full.Site.Pascal = float64(now.Pressure)
		}
		if room := now.Celsius[sensors.Room]; !math.IsNaN(room) {
			full.Site.RoomC = room
		}
	}
	a.mu.RLock()
	if b.cfg != nil && b.cfg.Rig == full.Rig { // another pan is another bath
		full.Site.Prior = b.cfg.Prior
	}
	a.mu.RUnlock()
	return batch.Reckon(ask.Change.On(full)), nil
}

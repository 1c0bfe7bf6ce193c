package app

import (
	"context"
	"math"

	"bainward/daemon/web"
	"bainward/rules"
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
	full, err := a.site().Ask(ask.Bath, ask.Recipe)
	if err != nil {
		return batch.Plan{}, err
	}
	return a.reckon(b, ask.Change.On(full)), nil
}

// planOf reckons by the recipe that a bath is set to, whatever became of its name
// since: of another recipe's measurements nothing is taken.
func (a *App) planOf(b *bath, set rules.Recipe) (batch.Plan, error) {
	full, err := a.site().Ask(b.name, set.Name)
	if err != nil || full.Recipe != set {
		if full, err = a.site().Ask(b.name, ""); err != nil {
			return batch.Plan{}, err
		}
		full.Recipe, full.Given = set, batch.Given{}
	}
	return a.reckon(b, full), nil
}

// reckon makes the plan at this moment.
func (a *App) reckon(b *bath, full batch.Ask) batch.Plan {
	for _, now := range a.Snapshots() {
		if now.Bath != b.name {
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
	return batch.Reckon(full)
}

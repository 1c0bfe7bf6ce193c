package app

import (
	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/fold"
)

// What a maceration taught about its bath is written into the record as part of
// the bath's config when the dish leaves the heat, and the rules take it from
// there. So it is an input like any other: a fold of the record finds the same
// thoughts again, and an auditor sees what the next batch was reckoned with.

// learn drafts what has been learned, if the heat just ended: how the bath probe stood
// on its boil, and a config.
func (d *draft) learn(b *bath, before rules.Phase, state *fold.Bath) {
	if !before.Lit() || state.Rules.Phase().Lit() {
		return
	}
	d.boiled(b, state)
	cfg := *b.cfg
	cfg.Prior = state.Rules.Learned(b.cfg)
	if cfg == *b.cfg {
		return
	}
	d.add(b.name, record.Config{Config: cfg})
	d.then(func() { b.cfg = &cfg })
}

// configOf is the config for a bath as the site has it while a recipe of the site file
// or one that was made on the page is made, with what earlier
// batches taught about the bath as long as its sizes are the same, and with what its
// probes were found to be off by.
func (a *App) configOf(b *bath, recipe string) (rules.Config, error) {
	return a.configIn(a.site(), b, recipe)
}

// configIn is configOf for a site with other recipes.
func (a *App) configIn(s *site.Site, b *bath, recipe string) (rules.Config, error) {
	cfg, err := s.Config(b.name, recipe)
	if err != nil {
		return cfg, err
	}
	if b.cfg != nil && b.cfg.Rig == cfg.Rig {
		cfg.Prior = b.cfg.Prior
	}
	return a.corrected(b, cfg), nil
}

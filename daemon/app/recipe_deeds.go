package app

import (
	"context"
	"fmt"

	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/batch/recipe"
)

// Recipes lists the recipes of the site.
func (a *App) Recipes() []web.Recipe { return a.recipes().List() }

// CheckRecipe says what is wrong with a recipe that somebody is writing.
func (a *App) CheckRecipe(w recipe.Written, words recipe.Words) []recipe.Problem {
	_, problems := recipe.Check(w, a.opt.Site.Place(), words)
	return problems
}

// MakeRecipe keeps a recipe. replaces is the entry of the one that it changes, and 0
// for a new one. A bath that is set to it and has no batch in hand goes by the new
// one from now on.
func (a *App) MakeRecipe(ctx context.Context, w recipe.Written, replaces int64, who string) error {
	if who == "" {
		return errNobody
	}
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		made, problems := recipe.Check(w, a.opt.Site.Place(), recipe.Keys())
		if len(problems) > 0 {
			return &web.RecipeError{Problems: problems}
		}
		if a.opt.Site.HasRecipe(w.Name) {
			return web.TakenError(w.Name, "the site file has a recipe of that name, and only who edits the file can change it")
		}
		body := record.Recipe{State: record.RecipeMade, Recipe: w, By: who}
		k, err := a.recipes().before(w.Name, replaces)
		if err != nil {
			return err
		}
		if k.Entry > 0 {
			body.State, body.Replaces = record.RecipeChanged, k.Entry
		}
		d.add("", body)
		with := a.opt.Site.With(made)
		for _, b := range a.baths {
			if b.cfg == nil || b.state.Rules.Begun() || b.cfg.Recipe.Name != w.Name {
				continue
			}
			cfg, err := a.configIn(with, b, w.Name)
			if err != nil {
				return err
			}
			d.choose(b, cfg, who)
		}
		return nil
	})
}

// before returns the entry that a recipe of that name follows, the zero one for a new
// name. It fails unless replaces is that entry: what somebody else wrote meanwhile is
// not passed over.
func (r *Recipes) before(name string, replaces int64) (keptRecipe, error) {
	n := r.find(name)
	if n < 0 {
		if replaces > 0 {
			return keptRecipe{}, fmt.Errorf("no recipe is called %q: a changed recipe keeps its name; make a new one instead", name)
		}
		return keptRecipe{}, nil
	}
	k := r.kept[n]
	switch {
	case k.State == record.RecipeRetired && replaces == 0 && k.name() == name: // it comes back
	case k.name() != name:
		return k, web.TakenError(name, fmt.Sprintf("a recipe is called %s already, and names that differ only in capitals are one", k.name()))
	case replaces == 0:
		return k, web.TakenError(name, "a recipe of that name was made on the page already; change that one, or take another name")
	case replaces != k.Entry:
		return k, fmt.Errorf("recipe %s was %s by %s meanwhile, in entry %d; look at it again before you change it", k.name(), k.State, k.By, k.Entry)
	}
	return k, nil
}

// RetireRecipe hides a recipe from choice. A bath that is set to it stays so until
// another is chosen.
func (a *App) RetireRecipe(ctx context.Context, name, who string) error {
	if who == "" {
		return errNobody
	}
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		n := a.recipes().find(name)
		if a.opt.Site.HasRecipe(name) && (n < 0 || a.recipes().kept[n].State == record.RecipeRetired) {
			return fmt.Errorf("recipe %s is of the site file, and only who edits the file can take it away", name)
		}
		if n < 0 {
			return web.ErrNoRecipe(name)
		}
		k := a.recipes().kept[n]
		if k.State == record.RecipeRetired {
			return fmt.Errorf("recipe %s was retired already, in entry %d", k.name(), k.Entry)
		}
		d.add("", record.Recipe{State: record.RecipeRetired, Recipe: recipe.Written{Name: k.name()}, Replaces: k.Entry, By: who})
		return nil
	})
}

// Recipe chooses what the batch is made by, until the heat is on. After a batch
// has ended it is the next one's, and the one that ended is closed: what is
// judged by one recipe must not be taken back into another.
func (a *App) Recipe(ctx context.Context, bathName, name, who string) error {
	return a.ask(ctx, bathName, func(_ context.Context, d *draft, b *bath) error {
		if b.fixed() {
			return fmt.Errorf("the recipe is fixed once the bath is lit; the batch is %s", b.state.Rules.Phase())
		}
		cfg, err := a.configOf(b, name)
		if err != nil {
			return err
		}
		d.choose(b, cfg, who)
		return nil
	})
}

// choose drafts the config by which the next batch of a bath is made.
func (d *draft) choose(b *bath, cfg rules.Config, who string) {
	batch := b.batch
	if !b.state.Rules.Begun() {
		d.close(b, &b.state, &batch)
	}
	d.add(b.name, record.Config{Config: cfg, By: who})
	d.then(func() { b.cfg, b.batch = &cfg, batch })
}

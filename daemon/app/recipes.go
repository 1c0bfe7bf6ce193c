package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/daemon/web"
	"bainward/rules/batch/recipe"
)

// A recipe that is made on the page is an entry of the record; changed, it is another,
// and the newest of its name counts. What is chosen for a bath is written into the
// bath's config as any recipe is, so a batch goes by that, whatever becomes of the
// recipe afterwards.

// Recipes are the recipes that a record has, as they stand at one site.
type Recipes struct {
	site  *site.Site // its file alone
	kept  []keptRecipe
	ready []recipe.Recipe // those that can be made and chosen
}

// keptRecipe is the newest entry of a recipe.
type keptRecipe struct {
	record.Recipe
	web.RecipeEntry
	made recipe.Recipe
	// unfit says why it cannot be chosen though nobody retired it; empty: it can.
	unfit string
}

// ReadRecipes folds the recipes of a record for a site.
func ReadRecipes(ctx context.Context, r *record.Reader, s *site.Site) (*Recipes, error) {
	entries, err := r.OfKind(ctx, record.KindRecipe)
	if err != nil {
		return nil, err
	}
	all := &Recipes{site: s}
	for _, e := range entries {
		if all, err = all.with(e); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// with returns the recipes with one more entry. r itself stays as it is, for whoever
// reads it meanwhile.
func (r *Recipes) with(e record.Entry) (*Recipes, error) {
	k := keptRecipe{RecipeEntry: web.RecipeEntry{Entry: e.Seq, When: e.Wall}}
	if err := e.Decode(&k.Recipe); err != nil {
		return r, err
	}
	k.Who = k.By
	if k.State != record.RecipeRetired {
		made, problems := recipe.Check(k.Recipe.Recipe, r.site.Place(), recipe.Keys())
		k.made = made
		switch {
		case r.site.HasRecipe(made.Name):
			k.unfit = "the site file has a recipe of that name, and that one counts"
		case len(problems) > 0:
			k.unfit = "it cannot be made here: " + problems[0].Text
		}
	}
	next := &Recipes{site: r.site, kept: slices.Clone(r.kept)}
	if n := next.find(k.name()); n >= 0 {
		next.kept[n] = k
	} else {
		next.kept = append(next.kept, k)
	}
	for _, k := range next.kept {
		if k.stands() {
			next.ready = append(next.ready, k.made)
		}
	}
	return next, nil
}

func (k keptRecipe) name() string { return k.Recipe.Recipe.Name }

// stands reports whether it can be chosen.
func (k keptRecipe) stands() bool { return k.State != record.RecipeRetired && k.unfit == "" }

// find returns where the recipe of that name is, whatever the case; -1: nowhere.
func (r *Recipes) find(name string) int {
	return slices.IndexFunc(r.kept, func(k keptRecipe) bool { return strings.EqualFold(k.name(), name) })
}

// retired reports whether the recipe of that name was made on the page and retired.
func (r *Recipes) retired(name string) bool {
	n := r.find(name)
	return n >= 0 && r.kept[n].State == record.RecipeRetired && !r.site.HasRecipe(name)
}

// Site is the site of the file with the recipes that can be chosen beside its own.
func (r *Recipes) Site() *site.Site { return r.site.With(r.ready...) }

// Warnings says which recipes of the record are not to be chosen though nobody
// retired them, each as a sentence without a stop.
func (r *Recipes) Warnings() (all []string) {
	for _, k := range r.kept {
		if k.State != record.RecipeRetired && k.unfit != "" {
			all = append(all, fmt.Sprintf("recipe %s, made by %s in entry %d, can no longer be chosen: %s; a batch in hand stays by what it was begun with",
				k.name(), k.By, k.Entry, k.unfit))
		}
	}
	return all
}

// List tells of all recipes: those of the site file, then those of the record.
func (r *Recipes) List() []web.Recipe {
	var all []web.Recipe
	for _, own := range r.site.Recipes {
		all = append(all, web.Recipe{Written: own.Written, OfFile: true})
	}
	for _, k := range r.kept {
		all = append(all, web.Recipe{
			Written: k.Recipe.Recipe, RecipeEntry: k.RecipeEntry, Retired: k.State == record.RecipeRetired, Unfit: k.unfit,
		})
	}
	return all
}

// recipes are those of the record as they stand.
func (a *App) recipes() *Recipes { return a.made.Load() }

// site is the site file with what was made on the page beside it.
func (a *App) site() *site.Site { return a.recipes().Site() }

// openRecipes folds the recipes of the record and says which cannot be chosen.
func (a *App) openRecipes(ctx context.Context) error {
	all, err := ReadRecipes(ctx, a.record.Reader, a.opt.Site)
	if err != nil {
		return err
	}
	for _, warning := range all.Warnings() {
		a.opt.Logger.Warn(warning)
	}
	a.made.Store(all)
	return nil
}

// keepRecipe takes a recorded entry in; most are none.
func (a *App) keepRecipe(e record.Entry) error {
	if e.Kind != record.KindRecipe {
		return nil
	}
	next, err := a.recipes().with(e)
	if err == nil {
		a.made.Store(next)
	}
	return err
}

// recipeInWords says an entry of a recipe on one line.
func recipeInWords(b record.Recipe) string {
	return fmt.Sprintf("recipe %s %s (%s)", b.Recipe.Name, b.State, b.By)
}

package dashboards

import (
	"io"
	"net/url"
	"slices"

	"bainward/rules/batch/recipe"
)

// RecipePage is the form in which a recipe is made or changed. It works without
// JavaScript.
type RecipePage struct {
	Site, Version, Assets string

	Demo   float64
	Places []Place
	Bath   string // to whose plan it leads; may be empty
	Of     string // the recipe that it is a copy of, or that is changed; may be empty
	Entry  int64  // of the recipe that is changed; 0: it is a new one
	Inputs []recipe.Input
	Error  string // why it was not kept, beside what stands at the fields; may be empty
	Wrong  int    // how many fields are wrong
	Who    RecipeWho
}

// RecipeWho asks who enters something, where nobody signs in.
type RecipeWho struct {
	Asked   bool
	Value   string
	Problem string
}

// RecipeGroup is a part of the form.
type RecipeGroup struct {
	Title  string // empty: the part that everybody fills in
	Open   bool   // something stands in it, or is wrong with it
	Inputs []recipe.Input
}

// Groups parts the form: first what everybody fills in.
func (p RecipePage) Groups() []RecipeGroup {
	groups := []RecipeGroup{{}, {Title: "What you measured"}, {Title: "From when the hold counts, and what is too hot"}}
	for _, in := range p.Inputs {
		g := &groups[in.Group]
		g.Inputs = append(g.Inputs, in)
		offered := in.Kind == recipe.Choice && in.Value == in.Options[0].Value
		g.Open = g.Open || in.Problem != "" || in.Value != "" && !offered
	}
	return slices.DeleteFunc(groups, func(g RecipeGroup) bool { return len(g.Inputs) == 0 })
}

// RenderRecipe writes the form of a recipe.
func (t *Pages) RenderRecipe(w io.Writer, p RecipePage) error { return t.execute(w, "recipe-page", p) }

// RecipesPage lists the recipes.
type RecipesPage struct {
	Site, Version, Assets string

	Demo    float64
	Places  []Place
	Enters  bool // who looks may make, change and retire
	Who     RecipeWho
	Recipes []RecipeLine
	Retired []RecipeLine
	Error   string // what was refused; may be empty
}

// RecipeLine is one recipe of the list.
type RecipeLine struct {
	Name  string
	What  string // herb and oil
	From  string // where it comes from, a sentence
	Unfit string // why it cannot be chosen; may be empty
	Own   bool   // made on the page, so that it can be changed and retired here
}

// Plan leads to the plan of the recipe.
func (l RecipeLine) Plan() string { return "/plan?" + url.Values{"recipe": {l.Name}}.Encode() }

// RenderRecipes writes the list of the recipes.
func (t *Pages) RenderRecipes(w io.Writer, p RecipesPage) error {
	return t.execute(w, "recipes-page", p)
}

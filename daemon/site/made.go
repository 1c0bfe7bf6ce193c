package site

import (
	"bytes"
	"slices"
	"strings"

	"bainward/rules"
	"bainward/rules/batch/recipe"
)

// Place is what a recipe is checked against: at this site water boils there.
func (s *Site) Place() recipe.Place { return recipe.Place{Known: true, Elevation: s.ElevationM} }

// With returns the site with recipes that were made on the page, to be chosen beside
// those of the file. The limits of the site hold while one is made. A name that the
// file has is the file's: that recipe is left out.
func (s *Site) With(made ...recipe.Recipe) *Site {
	with := *s
	with.Made = nil
	for _, r := range made {
		if !s.HasRecipe(r.Name) {
			with.Made = append(with.Made, Recipe{Recipe: r.Recipe, Given: r.Given, Limits: s.Limits})
		}
	}
	return &with
}

// HasRecipe reports whether a recipe of that name is the file's, whatever the case, or
// the plain one that there always is.
func (s *Site) HasRecipe(name string) bool {
	return strings.EqualFold(name, rules.Recipe{}.Complete().Name) ||
		slices.ContainsFunc(s.Recipes, func(r Recipe) bool { return strings.EqualFold(r.Name, name) })
}

// Choices lists the names of the recipes that can be chosen: those of the file, then
// those made on the page.
func (s *Site) Choices() []string {
	var names []string
	for _, r := range slices.Concat(s.Recipes, s.Made) {
		names = append(names, r.Name)
	}
	return names
}

// Find returns the recipe of that name; ok is false if there is none.
func (s *Site) Find(name string) (r Recipe, ok bool) {
	r, err := s.recipe(name)
	return r, err == nil && name != ""
}

// ReadRecipe reads a file that holds one [[recipe]] and nothing else, as strictly as a
// site file. Whether it can be made somewhere is left to recipe.Check. Its error is
// Errors.
func ReadRecipe(name string, data []byte) (recipe.Written, error) {
	data = bytes.TrimPrefix(data, []byte("\uFEFF")) // some editors begin a file so
	c := checker{problems: problems{file: name, outline: outlineOf(data)}}
	doc, whole := decode(data, &c.problems)
	for _, o := range c.outline.odd {
		c.addf(o.path, "%s", o.text)
	}
	for path := range c.outline.lines {
		if whole && !strings.HasPrefix(path, "recipe") && !strings.ContainsAny(path, ".[") {
			c.addf(path, "%s has no place in a file with one [[recipe]]", path)
		}
	}
	if whole && len(doc.Recipe) != 1 {
		c.addf("", "%d recipes: write one [[recipe]]", len(doc.Recipe))
	}
	if whole && c.given(element("recipe", 0)+".limits") {
		c.addf(element("recipe", 0)+".limits", "limits have no place here: those of the site hold")
	}
	if err := c.err(); err != nil {
		return recipe.Written{}, err
	}
	return c.written(element("recipe", 0), doc.Recipe[0]), nil
}

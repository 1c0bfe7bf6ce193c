package record

import (
	"errors"
	"fmt"

	"bainward/rules/batch/recipe"
)

// KindRecipe is the kind of a Recipe. The rules do not take it in: what a bath goes by
// stands in a Config that follows when it is chosen.
const KindRecipe Kind = "recipe"

// What happened to a recipe that is kept in the record.
const (
	RecipeMade    = "made"    // under a name that no other had
	RecipeChanged = "changed" // it takes the place of the one before
	RecipeRetired = "retired" // it is no longer to be chosen
)

// Recipe is a recipe that was made, changed or retired on the page. Its entry is of
// the site. Entries of one name are its history: the newest counts, and each says
// which one it takes the place of.
type Recipe struct {
	State string `json:"state"`
	// Recipe is what was written, in the words and units of the site file; of a
	// retired one only the name.
	Recipe   recipe.Written `json:"recipe"`
	Replaces int64          `json:"replaces,omitempty"` // the entry before; 0: made
	By       string         `json:"by"`
}

// Kind returns KindRecipe.
func (Recipe) Kind() Kind { return KindRecipe }

// check leaves it to rules/batch/recipe whether the recipe can be made: what could
// be when it was kept must be readable for ever.
func (b Recipe) check() error {
	switch {
	case b.State != RecipeMade && b.State != RecipeChanged && b.State != RecipeRetired:
		return fmt.Errorf("recipe state %q: want %q, %q or %q", b.State, RecipeMade, RecipeChanged, RecipeRetired)
	case b.Recipe.Name == "":
		return errors.New("the recipe has no name")
	case b.By == "":
		return errors.New("nobody stands for the recipe")
	case (b.State == RecipeMade) != (b.Replaces == 0):
		return fmt.Errorf("a recipe is %s in the place of entry %d", b.State, b.Replaces)
	}
	return nil
}

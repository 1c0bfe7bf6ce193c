package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"bainward/rules/batch/recipe"
)

// Recipes is a Doer that keeps recipes, too. The pages of recipes are there only if
// the Doer is one.
type Recipes interface {
	// Recipes lists them all, those of the site file first.
	Recipes() []Recipe
	// CheckRecipe says what is wrong with what was written; nil if it can be made.
	CheckRecipe(w recipe.Written, words recipe.Words) []recipe.Problem
	// MakeRecipe keeps a recipe: a new one, or in the place of that of an entry. It
	// may fail with a *RecipeError.
	MakeRecipe(ctx context.Context, w recipe.Written, replaces int64, who string) error
	// RetireRecipe hides one from choice.
	RetireRecipe(ctx context.Context, name, who string) error
}

// Recipe is one recipe and where it comes from.
type Recipe struct {
	recipe.Written
	RecipeEntry
	OfFile  bool   `json:"of_file"` // of the site file: it can only be changed there
	Retired bool   `json:"retired"`
	Unfit   string `json:"unfit"` // why it cannot be chosen though it was not retired; may be empty
}

// RecipeEntry is the entry of the record that a recipe comes from; zero for one of the
// site file.
type RecipeEntry struct {
	Entry int64     `json:"entry,omitzero"`
	When  time.Time `json:"when,omitzero"`
	Who   string    `json:"who,omitempty"`
}

// Stands reports whether it can be chosen.
func (r Recipe) Stands() bool { return !r.Retired && r.Unfit == "" }

// RecipeError is why a recipe was not kept, field by field.
type RecipeError struct {
	Problems []recipe.Problem
	taken    bool // nothing is wrong with it but that its name is another's
}

// TakenError says that another recipe has the name, and what to do.
func TakenError(name, why string) *RecipeError {
	return &RecipeError{Problems: []recipe.Problem{{Field: recipe.Name, Text: fmt.Sprintf("%q is taken: %s", name, why)}}, taken: true}
}

// Error writes all problems on one line.
func (e *RecipeError) Error() string {
	var all []string
	for _, p := range e.Problems {
		all = append(all, p.Text)
	}
	return strings.Join(all, "; ")
}

// errNoRecipe is what is wrong with the name of a recipe that there is not.
var errNoRecipe = errors.New("no such recipe")

// ErrNoRecipe says that no recipe is called so.
func ErrNoRecipe(name string) error {
	return fmt.Errorf("%w as %q; GET /api/recipes lists them", errNoRecipe, name)
}

// recipeRoutes adds what is there only where recipes are kept.
func (s *server) recipeRoutes(mux *http.ServeMux) {
	keeper, keeps := s.doer.(Recipes)
	if !keeps {
		return
	}
	mux.HandleFunc("GET /recipes", func(w http.ResponseWriter, r *http.Request) { s.recipeList(w, r, keeper) })
	mux.HandleFunc("GET /recipe", func(w http.ResponseWriter, r *http.Request) { s.recipeForm(w, r, keeper) })
	mux.HandleFunc("POST /recipe", func(w http.ResponseWriter, r *http.Request) { s.keepRecipe(w, r, keeper) })
	mux.HandleFunc("POST /recipe/retired", func(w http.ResponseWriter, r *http.Request) { s.retireRecipe(w, r, keeper) })
	mux.HandleFunc("POST /recipe/chosen", s.chooseRecipe)
	mux.HandleFunc("GET /api/recipes", func(w http.ResponseWriter, _ *http.Request) {
		s.sendJSON(w, map[string]any{"recipes": append([]Recipe{}, keeper.Recipes()...)})
	})
	mux.HandleFunc("GET /api/recipe/{name}", func(w http.ResponseWriter, r *http.Request) { s.apiRecipe(w, r, keeper) })
	mux.HandleFunc("POST /api/recipes", func(w http.ResponseWriter, r *http.Request) { s.doMakeRecipe(w, r, keeper) })
	mux.HandleFunc("POST /api/recipe/{name}/retired", func(w http.ResponseWriter, r *http.Request) { s.doRetireRecipe(w, r, keeper) })
}

// recipeOf finds a recipe by its name: the one that can be chosen before one that
// cannot.
func recipeOf(keeper Recipes, name string) (found Recipe, ok bool) {
	for _, r := range keeper.Recipes() {
		if r.Name == name && (!ok || !found.Stands()) {
			found, ok = r, true
		}
	}
	return found, ok
}

func (s *server) apiRecipe(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	found, ok := recipeOf(keeper, r.PathValue("name"))
	if !ok {
		writeError(w, http.StatusNotFound, ErrNoRecipe(r.PathValue("name")).Error())
		return
	}
	s.sendJSON(w, found)
}

type makeRecipeRequest struct {
	Recipe   recipe.Written `json:"recipe"`
	Replaces int64          `json:"replaces"`
	Who      string         `json:"who"`
}

// problemJSON is one problem with a recipe.
type problemJSON struct {
	Field string `json:"field"`
	Text  string `json:"text"`
}

func (s *server) doMakeRecipe(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	var in makeRecipeRequest
	if !readJSON(w, r, &in) || !somebody(w, in.Who) {
		return
	}
	err := keeper.MakeRecipe(r.Context(), in.Recipe, in.Replaces, in.Who)
	if wrong, ok := errors.AsType[*RecipeError](err); ok {
		status := http.StatusUnprocessableEntity
		if wrong.taken {
			status = http.StatusConflict
		}
		problems := make([]problemJSON, len(wrong.Problems))
		for i, p := range wrong.Problems {
			problems[i] = problemJSON{string(p.Field), p.Text}
		}
		writeJSON(w, status, map[string]any{"error": err.Error(), "problems": problems})
		return
	}
	s.finish(w, r, "kept: recipe "+in.Recipe.Name, err)
}

type retireRequest struct {
	Who string `json:"who"`
}

func (s *server) doRetireRecipe(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	var in retireRequest
	if !readJSON(w, r, &in) || !somebody(w, in.Who) {
		return
	}
	name := r.PathValue("name")
	err := keeper.RetireRecipe(r.Context(), name, in.Who)
	if errors.Is(err, errNoRecipe) {
		writeError(w, http.StatusNotFound, err.Error())
		return
	}
	s.finish(w, r, "retired: recipe "+name, err)
}

// somebody reports whether a name was given, or has answered that it must be.
func somebody(w http.ResponseWriter, who string) bool {
	if strings.TrimSpace(who) == "" {
		writeError(w, http.StatusBadRequest, "who enters it? Give a name or initials under \"who\"")
		return false
	}
	return plain(w, "who", who, maxWho)
}

package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"bainward/rules/batch/recipe"
)

// cook is a Doer that keeps recipes, with one of the site file and one of Robin's.
type cook struct {
	*fakeDoer
	mu   sync.Mutex
	kept []Recipe
	made recipe.Written
}

func newCook() *cook {
	herb, ml, own := 220.0, 800.0, 250.0
	return &cook{fakeDoer: newFakeDoer(), kept: []Recipe{
		{Written: recipe.Written{Name: "ribwort-fresh", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: &herb, Oil: "sunflower", OilML: &ml}, OfFile: true},
		{Written: recipe.Written{Name: "nettle", Herb: "Urtica dioica, leaf", HerbG: &own}, RecipeEntry: RecipeEntry{Entry: 41, Who: "Robin"}},
		{Written: recipe.Written{Name: "old"}, RecipeEntry: RecipeEntry{Entry: 40, Who: "Robin"}, Retired: true},
	}}
}

func (c *cook) Recipes() []Recipe {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.kept
}

func (c *cook) CheckRecipe(w recipe.Written, words recipe.Words) []recipe.Problem {
	_, problems := recipe.Check(w, recipe.Place{Known: true, Elevation: 120}, words)
	return problems
}

func (c *cook) MakeRecipe(_ context.Context, w recipe.Written, replaces int64, who string) error {
	if problems := c.CheckRecipe(w, recipe.Keys()); len(problems) > 0 {
		return &RecipeError{Problems: problems}
	}
	if w.Name == "ribwort-fresh" {
		return TakenError(w.Name, "take another")
	}
	c.mu.Lock()
	c.made = w
	c.mu.Unlock()
	return c.did("make %s in the place of %d by %s", w.Name, replaces, who)
}

func (c *cook) RetireRecipe(_ context.Context, name, who string) error {
	if name == "gone" {
		return ErrNoRecipe(name)
	}
	return c.did("retire %s by %s", name, who)
}

// sent is what a form of a page on this machine sends.
func sent(t *testing.T, h http.Handler, path string, fields ...string) (status int, header http.Header, body string) {
	t.Helper()
	v := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		v.Set(fields[i], fields[i+1])
	}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, "http://localhost"+path, strings.NewReader(v.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := served(h, r)
	return w.Code, w.Header(), w.Body.String()
}

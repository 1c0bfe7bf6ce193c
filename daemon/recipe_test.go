package main

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"bainward/daemon/record"
	"bainward/rules/batch/recipe"
)

// TestRecipeScripts runs the commands that look at recipes, over a record in which
// some were made, changed and retired.
func TestRecipeScripts(t *testing.T) {
	const dir = "testdata/script/recipe"
	if files, err := filepath.Glob(filepath.Join(dir, "*.txtar")); err != nil || len(files) == 0 {
		t.Fatalf("no scripts in %s (%v)", dir, err)
	}
	testscript.Run(t, testscript.Params{
		Dir: dir, RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			if err := os.WriteFile(filepath.Join(e.WorkDir, "yard.toml"), []byte(pastSite), 0o600); err != nil {
				return err
			}
			return keepRecipes(filepath.Join(e.WorkDir, "kept"))
		},
	})
}

// keepRecipes writes a record in which a daemon came up and people made recipes.
func keepRecipes(dir string) error {
	ctx := context.Background()
	rec, err := record.Open(ctx, record.Options{Dir: dir, Site: "Alder Yard"})
	if err != nil {
		return err
	}
	nettle := func(herbG float64) recipe.Written {
		hold := int64(45)
		return recipe.Written{Name: "nettle", Herb: "Urtica dioica, leaf", Fresh: true, HerbG: &herbG, HoldMin: &hold}
	}
	p := &past{}
	p.add("", record.Restart{Boot: "b", Version: "1"})
	p.add("", record.Recipe{State: record.RecipeMade, Recipe: nettle(250), By: "Robin"})
	p.add("", record.Recipe{State: record.RecipeChanged, Recipe: nettle(200), Replaces: 2, By: "Sorrel"})
	p.add("", record.Recipe{State: record.RecipeMade, Recipe: recipe.Written{Name: "sage"}, By: "Robin"})
	p.add("", record.Recipe{State: record.RecipeRetired, Recipe: recipe.Written{Name: "sage"}, Replaces: 4, By: "Robin"})
	if p.err != nil {
		return p.err
	}
	if _, err := rec.Append(ctx, p.entries); err != nil {
		return err
	}
	return rec.Close()
}

// The daemon that runs is asked to keep a recipe as it stands in the file, and to
// retire one; what it refuses is told in its own words.
func TestTheDaemonIsAskedToKeepRecipes(t *testing.T) {
	var asked []string
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var body bytes.Buffer
		_, _ = body.ReadFrom(r.Body)
		asked = append(asked, r.URL.Path+" "+body.String())
		if strings.Contains(body.String(), `"sage"`) {
			w.WriteHeader(http.StatusConflict)
			_ = json.NewEncoder(w).Encode(map[string]string{"error": `"sage" is taken`})
			return
		}
		_, _ = w.Write([]byte(`{"done":"kept"}`))
	}))
	defer server.Close()
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	of := cook{Site: write("yard.toml", pastSite), Record: dir, Listen: strings.TrimPrefix(server.URL, "http://"), Who: "Robin"}
	var out bytes.Buffer
	good := recipeMakeCommand{cook: of, Replaces: 41, File: write("nettle.toml", "[[recipe]]\nname = \"nettle\"\nherb_g = 250\npress = \"hand\"\n")}
	if err := good.Run(t.Context(), &out); err != nil || out.String() != "kept\n" {
		t.Errorf("it says %q, %v", out.String(), err)
	}
	if err := (&recipeRetireCommand{cook: of, Name: "nettle"}).Run(t.Context(), &out); err != nil {
		t.Error(err)
	}
	bad := recipeMakeCommand{cook: of, File: write("sage.toml", "[[recipe]]\nname = \"sage\"\n")}
	if err := bad.Run(t.Context(), &out); err == nil || !strings.HasSuffix(err.Error(), `: "sage" is taken`) {
		t.Errorf("refused: %v", err)
	}
	want := []string{
		`/api/recipes {"recipe":{"name":"nettle","herb_g":250,"press":"hand"},"replaces":41,"who":"Robin"}`,
		`/api/recipe/nettle/retired {"who":"Robin"}`,
		`/api/recipes {"recipe":{"name":"sage"},"replaces":0,"who":"Robin"}`,
	}
	if strings.Join(asked, "\n") != strings.Join(want, "\n") {
		t.Errorf("the daemon was asked for\n%s", strings.Join(asked, "\n"))
	}
}

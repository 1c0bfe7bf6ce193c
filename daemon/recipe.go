package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"

	"bainward/daemon/app"
	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/daemon/web"
)

// recipeCommand looks at the recipes of a site, and has its daemon keep some.
type recipeCommand struct {
	List   recipeListCommand   `cmd:"" help:"List the recipes: those of the site file, and those made on the page."`
	Show   recipeShowCommand   `cmd:"" help:"Print a recipe as it would stand in a site file."`
	Make   recipeMakeCommand   `cmd:"" help:"Have the daemon that runs keep a recipe, from a file with one [[recipe]] in it."`
	Retire recipeRetireCommand `cmd:"" help:"Have the daemon that runs retire a recipe, so that it can no longer be chosen."`
}

// cookbook says of which site and record recipes are read.
type cookbook struct {
	Site   string `required:"" placeholder:"FILE" help:"The site file."`
	Record string `placeholder:"DIR" help:"Folder of the record; else the site file's, $$STATE_DIRECTORY/record, or bainward-record here."`
}

// open reads the recipes of site file and record.
func (c cookbook) open(ctx context.Context) (*app.Recipes, error) {
	s, err := site.Load(c.Site)
	if err != nil {
		return nil, err
	}
	dir := c.Record
	if dir == "" {
		dir = s.RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	return recipesIn(ctx, s, dir)
}

// recipesIn reads the recipes that the record in dir has for a site.
func recipesIn(ctx context.Context, s *site.Site, dir string) (all *app.Recipes, err error) {
	r, err := record.OpenReader(dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	return app.ReadRecipes(ctx, r, s)
}

// withMade is a site with the recipes beside its own that were made on the page, as
// the record in dir has them; without one the file's are all there is.
func withMade(ctx context.Context, s *site.Site, dir string) (*site.Site, error) {
	if dir == "" {
		return s, nil
	}
	all, err := recipesIn(ctx, s, dir)
	if err != nil {
		return nil, err
	}
	return all.Site(), nil
}

type recipeListCommand struct {
	cookbook
	JSON bool `name:"json" help:"Write one JSON document for programs."`
}

// Run lists the recipes.
func (c *recipeListCommand) Run(ctx context.Context, out io.Writer) error {
	all, err := c.open(ctx)
	if err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(out, map[string]any{"recipes": append([]web.Recipe{}, all.List()...)})
	}
	return writeText(out, recipeTable(all.List(), all.Site().Clock()))
}

type recipeShowCommand struct {
	cookbook
	JSON bool   `name:"json" help:"Write one JSON document for programs."`
	Name string `arg:"" help:"The recipe."`
}

// Run prints one recipe.
func (c *recipeShowCommand) Run(ctx context.Context, out io.Writer) error {
	all, err := c.open(ctx)
	if err != nil {
		return err
	}
	for _, r := range all.List() {
		if r.Name != c.Name {
			continue
		}
		if c.JSON {
			return writeJSON(out, r)
		}
		return writeText(out, recipeText(r, all.Site().Clock()))
	}
	return fmt.Errorf("no recipe %q; bainward recipe list shows what there is", c.Name)
}

// cook says which daemon is asked, and in whose name.
type cook struct {
	Site   string `required:"" placeholder:"FILE" help:"The site file."`
	Record string `placeholder:"DIR" help:"Folder of the record, in place of the site file's."`
	Listen string `placeholder:"ADDR" help:"Where the daemon serves its pages, in place of the site file's."`
	Who    string `placeholder:"NAME" help:"Who it is; else, and where people sign in, the user of this machine."`
}

// send has the daemon do something, and prints what it answers.
func (c cook) send(ctx context.Context, out io.Writer, path string, body map[string]any) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	as := testAlarmCommand{Listen: c.Listen, Record: c.Record}
	d := newAskedDaemon(s, as.listen(s), as.record(s))
	if body["who"] = c.Who; c.Who == "" {
		body["who"] = whoAsks()
	}
	text, err := json.Marshal(body)
	if err != nil {
		return fmt.Errorf("write down what to ask: %w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, stepWait)
	defer cancel()
	var answer struct{ Done string }
	if err := d.ask(ctx, http.MethodPost, path, string(text), &answer); err != nil {
		return fmt.Errorf("ask the daemon at %s: %w", d.address, err)
	}
	return writeText(out, answer.Done+"\n")
}

type recipeMakeCommand struct {
	cook
	Replaces int64  `placeholder:"N" help:"Number of the entry that is changed: the newest of that recipe; a new one without it."`
	File     string `arg:"" help:"A file with one [[recipe]], written as in a site file."`
}

// Run has the daemon keep a recipe.
func (c *recipeMakeCommand) Run(ctx context.Context, out io.Writer) error {
	data, err := os.ReadFile(c.File)
	if err != nil {
		return fmt.Errorf("read recipe: %w", err)
	}
	w, err := site.ReadRecipe(c.File, data)
	if err != nil {
		return err
	}
	return c.send(ctx, out, "/api/recipes", map[string]any{"recipe": w, "replaces": c.Replaces})
}

type recipeRetireCommand struct {
	cook
	Name string `arg:"" help:"The recipe."`
}

// Run has the daemon retire a recipe.
func (c *recipeRetireCommand) Run(ctx context.Context, out io.Writer) error {
	return c.send(ctx, out, "/api/recipe/"+url.PathEscape(c.Name)+"/retired", map[string]any{})
}

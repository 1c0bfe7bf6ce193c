package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"
	"time"

	"bainward/dashboards"
)

// recipeList shows all recipes and what can be done with them.
func (s *server) recipeList(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	s.showRecipes(w, r, keeper, http.StatusOK, "")
}

func (s *server) showRecipes(w http.ResponseWriter, r *http.Request, keeper Recipes, status int, refused string) {
	site := s.view.Site()
	p := dashboards.RecipesPage{
		Site: site.Name, Version: site.Version, Assets: s.assets, Demo: site.Demo, Places: s.places("/recipes"),
		Enters: s.mayEnter(r), Who: s.askWho(), Error: refused,
	}
	for _, one := range keeper.Recipes() {
		if one.Retired {
			p.Retired = append(p.Retired, recipeLine(one, site.Clock()))
		} else {
			p.Recipes = append(p.Recipes, recipeLine(one, site.Clock()))
		}
	}
	var out bytes.Buffer
	if err := s.pages.RenderRecipes(&out, p); err != nil {
		s.trouble(w, r, err)
		return
	}
	s.sendForm(w, status, out.Bytes())
}

// recipeLine puts a recipe into words, with days by the clock of the site.
func recipeLine(r Recipe, clock *time.Location) dashboards.RecipeLine {
	l := dashboards.RecipeLine{Name: r.Name, Unfit: r.Unfit, Own: !r.OfFile, From: "Of the site file."}
	if r.Herb != "" {
		l.What = "dried " + r.Herb
		if r.Fresh {
			l.What = "fresh " + r.Herb
		}
	}
	if r.Oil != "" {
		l.What = strings.TrimPrefix(l.What+", in "+strings.TrimSuffix(r.Oil, " oil")+" oil", ", ")
	}
	if !r.OfFile {
		did := "Made"
		if r.Retired {
			did = "Retired"
		}
		l.From = did + " by " + r.Who + " on " + r.When.In(clock).Format("2 January 2006") + "."
	}
	return l
}

// retireRecipe hides a recipe from choice and shows the list again.
func (s *server) retireRecipe(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	typed, ok := s.typed(w, r)
	if !ok {
		return
	}
	who, why := s.whoSent(r, typed)
	if why != "" {
		s.showRecipes(w, r, keeper, http.StatusUnprocessableEntity, why)
		return
	}
	if err := keeper.RetireRecipe(r.Context(), typed["name"], who); err != nil {
		s.log.Warn("refused", "path", r.URL.Path, "err", err)
		s.showRecipes(w, r, keeper, http.StatusConflict, strings.TrimSuffix(sentence(err.Error()), "."))
		return
	}
	seeOther(w, "/recipes")
}

// chooseRecipe takes a recipe for the next batch of a bath, from the page of its plan,
// and leads to the bath.
func (s *server) chooseRecipe(w http.ResponseWriter, r *http.Request) {
	typed, ok := s.typed(w, r)
	if !ok {
		return
	}
	b, ok := s.find(typed["bath"])
	if !ok {
		s.nothingHere(w, r)
		return
	}
	who, why := s.whoSent(r, typed)
	if why != "" {
		s.refusePage(w, r, http.StatusUnprocessableEntity, "Who was it?", why+".")
		return
	}
	if err := s.doer.Recipe(r.Context(), b.Bath, typed["recipe"], who); err != nil {
		s.log.Warn("refused", "path", r.URL.Path, "err", err)
		s.refusePage(w, r, http.StatusConflict, "Not chosen", sentence(err.Error()))
		return
	}
	seeOther(w, "/bath/"+url.PathEscape(b.Bath))
}

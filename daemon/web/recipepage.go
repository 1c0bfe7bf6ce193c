package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bainward/daemon/people"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/batch/recipe"
)

// mayEnter reports whether who asks may enter what was done.
func (s *server) mayEnter(r *http.Request) bool {
	v, _ := r.Context().Value(visitorKey{}).(visitor)
	return s.door.People == nil || v.role.May(people.Enter)
}

// askWho says whether a form must ask who sends it.
func (s *server) askWho() dashboards.RecipeWho {
	return dashboards.RecipeWho{Asked: s.door.People == nil}
}

// recipeForm offers an empty form, a copy of a recipe (copy=), or one to be changed
// (change=), with the weights of the plan that leads here.
func (s *server) recipeForm(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	q := r.URL.Query()
	p := dashboards.RecipePage{Bath: q.Get("bath"), Of: q.Get("copy"), Who: s.askWho()}
	if change := q.Get("change"); change != "" {
		p.Of = change
	}
	var offered recipe.Written
	if p.Of != "" {
		found, ok := recipeOf(keeper, p.Of)
		if !ok && p.Of != (rules.Recipe{}).Complete().Name {
			s.refusePage(w, r, http.StatusNotFound, "No such recipe", ErrNoRecipe(p.Of).Error()+".")
			return
		}
		offered = found.Written
		if q.Has("change") {
			if found.OfFile || found.Retired || !ok {
				s.refusePage(w, r, http.StatusConflict, "It cannot be changed", "Recipe "+p.Of+" is of the site file, or is retired: change a copy of it.")
				return
			}
			p.Entry = found.Entry
		} else {
			offered.Name = ""
		}
	}
	herb, errHerb := weightOf(q, "herb")
	oil, errOil := weightOf(q, "oil")
	if err := errors.Join(errHerb, errOil); err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "No such weight", err.Error()+".")
		return
	}
	units := s.view.Site().Units
	values := recipe.Values(offered.Weighing(herb, oil), units)
	if p.Of == "" {
		delete(values, "fresh") // the first of the choices: fresh
	}
	p.Inputs = recipe.Inputs(values, nil, units)
	s.showRecipe(w, r, http.StatusOK, p)
}

func (s *server) showRecipe(w http.ResponseWriter, r *http.Request, status int, p dashboards.RecipePage) {
	site := s.view.Site()
	p.Site, p.Version, p.Assets, p.Demo, p.Places = site.Name, site.Version, s.assets, site.Demo, s.places("/recipes")
	var out bytes.Buffer
	if err := s.pages.RenderRecipe(&out, p); err != nil {
		s.trouble(w, r, err)
		return
	}
	s.sendForm(w, status, out.Bytes())
}

// sendForm sends a page whose form changes something. Older browsers tell us from
// other sites only by the Origin, which no-referrer would make "null".
func (s *server) sendForm(w http.ResponseWriter, status int, page []byte) {
	mayAsk(w)
	w.Header().Set("Referrer-Policy", "same-origin")
	s.send(w, status, "text/html; charset=utf-8", page)
}

// keepRecipe keeps what the form says and leads to its plan, or shows the form again
// with what is wrong beside each field and all that was typed.
func (s *server) keepRecipe(w http.ResponseWriter, r *http.Request, keeper Recipes) {
	typed, ok := s.typed(w, r)
	if !ok {
		return
	}
	units := s.view.Site().Units
	p := dashboards.RecipePage{Bath: typed["bath"], Of: typed["of"], Who: s.askWho()}
	p.Entry, _ = strconv.ParseInt(typed["replaces"], 10, 64) // anything but a number is none: a new recipe
	written, unread := recipe.Typed(typed, units)
	problems := recipe.First(unread, keeper.CheckRecipe(written, recipe.Form(units)))
	who, why := s.whoSent(r, typed)
	p.Who.Value, p.Who.Problem = who, why
	status := http.StatusUnprocessableEntity
	if len(problems) == 0 && why == "" {
		err := keeper.MakeRecipe(r.Context(), written, p.Entry, who)
		if err == nil {
			q := url.Values{"recipe": {written.Name}}
			if p.Bath != "" {
				q.Set("bath", p.Bath)
			}
			seeOther(w, "/plan?"+q.Encode())
			return
		}
		s.log.Warn("refused", "path", r.URL.Path, "err", err)
		status = http.StatusConflict
		if wrong, ok := errors.AsType[*RecipeError](err); ok {
			problems = wrong.Problems
		} else {
			p.Error = err.Error()
		}
	}
	p.Wrong = len(problems)
	if why != "" {
		p.Wrong++
	}
	p.Inputs = recipe.Inputs(typed, problems, units)
	s.showRecipe(w, r, status, p)
}

// typed reads a form that somebody sent, or has answered why not.
func (s *server) typed(w http.ResponseWriter, r *http.Request) (map[string]string, bool) {
	r.Body = http.MaxBytesReader(w, r.Body, maxBody)
	if err := r.ParseForm(); err != nil {
		s.refusePage(w, r, http.StatusBadRequest, "That could not be read", "Send the form of the page itself, with no more in it than a person writes.")
		return nil, false
	}
	typed := map[string]string{}
	for name := range r.PostForm {
		typed[name] = r.PostForm.Get(name)
	}
	return typed, true
}

// whoSent is who is signed in, else who the form says; why is what is wrong with it.
func (s *server) whoSent(r *http.Request, typed map[string]string) (who, why string) {
	if who = Who(r.Context()); who != "" {
		return who, ""
	}
	who = strings.TrimSpace(typed["who"])
	switch {
	case who == "":
		return who, "The record wants to know who it was: give a name or initials"
	case utf8.RuneCountInString(who) > maxWho || !utf8.ValidString(who) || strings.ContainsFunc(who, unicode.IsControl):
		return "", fmt.Sprintf("A name has one line of at most %d characters", maxWho)
	}
	return who, ""
}

// seeOther leads a browser on after its form was taken.
func seeOther(w http.ResponseWriter, to string) {
	w.Header().Set("Location", to)
	w.WriteHeader(http.StatusSeeOther)
}

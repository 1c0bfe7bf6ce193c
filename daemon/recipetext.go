package main

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"

	"bainward/daemon/web"
)

// recipeTable lists recipes for people, a line each, with days by the site's clock.
func recipeTable(all []web.Recipe, clock *time.Location) string {
	if len(all) == 0 {
		return "There is no recipe; a batch is made by the plain one.\n"
	}
	var b strings.Builder
	for _, r := range all {
		fmt.Fprintf(&b, "%-24s %s\n", r.Name, recipeFrom(r, clock))
	}
	return b.String()
}

// recipeFrom says where a recipe comes from, and whether it can be chosen.
func recipeFrom(r web.Recipe, clock *time.Location) string {
	switch {
	case r.OfFile:
		return "of the site file"
	case r.Retired:
		return fmt.Sprintf("retired by %s on %s, entry %d", r.Who, r.When.In(clock).Format("2006-01-02"), r.Entry)
	}
	from := fmt.Sprintf("made by %s on %s, entry %d", r.Who, r.When.In(clock).Format("2006-01-02"), r.Entry)
	if r.Unfit != "" {
		from += "; it cannot be chosen: " + r.Unfit
	}
	return from
}

// recipeText writes a recipe as a table of a site file.
func recipeText(r web.Recipe, clock *time.Location) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n[[recipe]]\n", recipeFrom(r, clock))
	v := reflect.ValueOf(r.Written)
	for i := range v.NumField() {
		key, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		f := v.Field(i)
		if f.IsZero() {
			continue
		}
		text, err := json.Marshal(f.Interface()) // as TOML writes texts of one line, numbers and booleans
		if err != nil {
			continue // no value of a recipe is without a JSON form
		}
		fmt.Fprintf(&b, "%s = %s\n", key, text)
	}
	return b.String()
}

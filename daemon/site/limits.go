package site

import (
	"fmt"

	"github.com/pelletier/go-toml/v2"
)

// recipeLimits gives each recipe the site's limits with those that the recipe
// names laid over them. The strict reading before has judged keys and kinds.
func (c *checker) recipeLimits(data []byte, s *Site) {
	var written struct {
		Recipe []struct {
			Limits map[string]any `toml:"limits"`
		} `toml:"recipe"`
	}
	if err := toml.Unmarshal(data, &written); err != nil {
		c.addf("recipe[0].limits", "limits cannot be read: %s", trimToml(err))
		return
	}
	for i := range s.Recipes {
		limits, err := overlay(s.Limits, written.Recipe[i].Limits)
		if err != nil {
			c.addf(element("recipe", i)+".limits", "limits cannot be read: %s", trimToml(err))
		}
		s.Recipes[i].Limits = limits
	}
}

// overlay returns base with the values of table laid over it: what the table
// does not name stays as it is. It goes through TOML once more because the
// decoder alone knows how each kind of limit is written.
func overlay[T any](base T, table map[string]any) (T, error) {
	if len(table) == 0 {
		return base, nil
	}
	text, err := toml.Marshal(table)
	if err != nil {
		return base, fmt.Errorf("write %v as TOML: %w", table, err)
	}
	over := base
	if err := toml.Unmarshal(text, &over); err != nil {
		return base, err
	}
	return over, nil
}

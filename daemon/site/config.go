package site

import (
	"fmt"
	"slices"
	"strings"

	"bainward/rules"
	"bainward/sensors"
)

// Config returns what the rules go by in the bath of that name while that
// recipe is made. An empty recipe means the first in the file, or the plain
// recipe if there is none; "plain" always exists. Errors list the names that do.
func (s *Site) Config(bath, recipe string) (rules.Config, error) {
	b, err := s.bath(bath)
	if err != nil {
		return rules.Config{}, err
	}
	r, err := s.recipe(recipe)
	if err != nil {
		return rules.Config{}, err
	}
	cfg := rules.Config{
		Bath:      b.Name,
		Units:     s.Units,
		Rig:       b.Rig,
		Recipe:    r.Recipe,
		Elevation: s.ElevationM,
		Limits:    r.Limits,
	}
	for role, address := range b.Probes {
		if address != 0 {
			cfg.Probes[role] = s.correction(address)
		}
	}
	return cfg, nil
}

func (s *Site) bath(name string) (Bath, error) {
	names := make([]string, len(s.Baths))
	for i, b := range s.Baths {
		if b.Name == name {
			return b, nil
		}
		names[i] = b.Name
	}
	return Bath{}, fmt.Errorf("find bath %q in %s: it has %s", name, s.File, strings.Join(names, ", "))
}

func (s *Site) recipe(name string) (Recipe, error) {
	plain := Recipe{Recipe: rules.Recipe{}.Complete(), Limits: s.Limits}
	if name == "" && len(s.Recipes) > 0 {
		return s.Recipes[0], nil
	}
	for _, r := range slices.Concat(s.Recipes, s.Made) {
		if r.Name == name {
			return r, nil
		}
	}
	if name == "" || name == plain.Name {
		return plain, nil
	}
	names := s.Choices()
	if !slices.Contains(names, plain.Name) {
		names = append(names, plain.Name)
	}
	return Recipe{}, fmt.Errorf("find recipe %q in %s: it has %s", name, s.File, strings.Join(names, ", "))
}

func (s *Site) correction(address sensors.Address) rules.Correction {
	for _, c := range s.Calibrations {
		if c.Address == address {
			return c.Correction
		}
	}
	return rules.Correction{Fitted: true, Address: address.String()}
}

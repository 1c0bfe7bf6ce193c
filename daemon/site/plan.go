package site

import "bainward/rules/batch"

// Ask returns what a plan of that recipe in that bath is reckoned from, as far
// as the file knows it; what the moment and the maker know comes on top. Names
// are taken as Config takes them.
func (s *Site) Ask(bath, recipe string) (batch.Ask, error) {
	b, err := s.bath(bath)
	if err != nil {
		return batch.Ask{}, err
	}
	r, err := s.recipe(recipe)
	if err != nil {
		return batch.Ask{}, err
	}
	return batch.Ask{
		Recipe: r.Recipe, Rig: b.Rig, Vessels: b.Vessels, Given: r.Given,
		Site: batch.Site{Elevation: s.ElevationM},
	}, nil
}

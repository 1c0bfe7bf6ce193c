package guide

import "slices"

// Shown returns the step that a person is shown who said of the steps in past, by
// ID, that they go on without it: the first from the present one on that is not
// done and not among them; the last there is, if they passed all of them.
func (g Guide) Shown(past []string) Step {
	at := slices.IndexFunc(g.Steps, func(s Step) bool { return s.Stands == Present })
	if at < 0 {
		return Step{}
	}
	shown := g.Steps[at]
	for _, s := range g.Steps[at:] {
		if s.Stands == Done {
			continue
		}
		shown = s
		if !slices.Contains(past, s.ID()) {
			break
		}
	}
	return shown
}

// Macerations returns how many macerations the batch has, as far as anybody knows.
func (g Guide) Macerations() int {
	n := 1
	for _, s := range g.Steps {
		n = max(n, s.Pass)
	}
	return n
}

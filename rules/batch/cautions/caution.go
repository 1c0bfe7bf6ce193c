package cautions

import "bainward/rules/batch/larder"

// Kind tells what a caution goes with.
type Kind uint8

// The kinds.
const (
	OfHerb Kind = iota
	OfOil
	OfPreparation
	OfLaw
	kindCount
)

var kindWords = [kindCount]string{"herb", "oil", "preparation", "law"}

func (k Kind) String() string {
	if k < kindCount {
		return kindWords[k]
	}
	return "unknown"
}

// Caution is one thing to know.
type Caution struct {
	Kind   Kind   `json:"kind"`
	About  string `json:"about"`  // a plant, an oil, or what was done
	Text   string `json:"text"`   // whole sentences, for sheet and page
	Short  string `json:"short"`  // for a label; "": it does not belong there
	Source string `json:"source"` // of what is said
	// Stop: this should not be made, or not used without asking first.
	Stop bool `json:"stop,omitzero"`
}

// Preparation is what cautions are asked for.
type Preparation struct {
	Herbs []string // as recipes name them
	Oils  []string
	Fresh bool // some herb was fresh
	// WaterLeft: water was seen in the oil.
	WaterLeft bool
	// GivenAway: somebody else gets it, as a gift or for money.
	GivenAway bool
}

// For returns every caution for p: by herb, by oil, by preparation and by law,
// the ones that stop the work first. None is given twice.
func For(p Preparation) []Caution {
	var all []Caution
	for _, h := range p.Herbs {
		cs, _ := OfHerbs(larder.ParseName(h))
		all = append(all, cs...)
	}
	for _, o := range p.Oils {
		all = append(all, OfOils(o)...)
	}
	all = append(all, ofPreparation(p)...)
	if p.GivenAway {
		all = append(all, ofLaw()...)
	}
	return stopsFirst(unique(all))
}

func unique(all []Caution) []Caution {
	seen := map[Caution]bool{}
	var kept []Caution
	for _, c := range all {
		if !seen[c] {
			seen[c] = true
			kept = append(kept, c)
		}
	}
	return kept
}

func stopsFirst(all []Caution) []Caution {
	var first, rest []Caution
	for _, c := range all {
		if c.Stop {
			first = append(first, c)
		} else {
			rest = append(rest, c)
		}
	}
	return append(first, rest...)
}

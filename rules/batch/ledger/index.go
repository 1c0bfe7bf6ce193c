package ledger

import (
	"maps"
	"slices"
)

// index holds who is called what, so that a walk through many lots does not look
// through all books at each. It grows with every entry.
type index struct {
	took  map[string][]string // numbers of batches, by the key of a lot that went into them
	named map[string][]string // numbers, by their key
}

// take notes the lot of a material.
func (x *index) take(m Material) { note(&x.took, lotKey(m.Lot), m.Batch) }

// name notes a new number.
func (x *index) name(number string) { note(&x.named, lotKey(number), number) }

func note(by *map[string][]string, key, number string) {
	if *by == nil {
		*by = map[string][]string{}
	}
	if all := (*by)[key]; !slices.Contains(all, number) {
		(*by)[key] = append(slices.Clip(all), number) // clones share all
	}
}

func (x *index) clone() index { return index{maps.Clone(x.took), maps.Clone(x.named)} }

// made lists what a lot of that key was made here as: batches, products and
// bottles. A bottle's key is that of its batch, with its number behind a stroke.
func (l *Ledger) made(key string) (all []node) {
	for _, number := range l.index.named[key] {
		all = append(all, node{makeNode, number})
	}
	batch, n, ok := ParseBottle(key)
	if !ok {
		return all
	}
	for _, number := range l.index.named[batch] {
		if b := l.batches[number]; b != nil && b.bottle(n) != nil {
			all = append(all, node{bottleNode, BottleID(number, n)})
		}
	}
	return all
}

// uses lists the materials of a lot, as they were entered.
func (l *Ledger) uses(key string) (all []LotUse) {
	for _, number := range l.index.took[key] {
		for _, m := range l.batches[number].materials {
			if lotKey(m.Fact.Lot) == key {
				all = append(all, LotUse{number, m})
			}
		}
	}
	return all
}

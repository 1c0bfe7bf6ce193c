package guide

import (
	"slices"
	"time"
)

// Item is one thing to see to before the heat is lit.
type Item struct {
	Key    string `json:"key"` // as the record keeps it
	Text   string `json:"text"`
	Why    string `json:"why"`
	Safety bool   `json:"safety,omitzero"` // somebody may be hurt without it
}

// Alarms is the key of the item that the daemon knows by itself.
const Alarms = "alarms"

// Items lists what to see to, in the order in which a maker walks through it: the one
// list of it, for guide, plan, record and sheet. What
// concerns people and fire is common practice, without a source; the last four are
// the start-up checks of ISO 22716:2007, 7.2.2 (a to d).
func Items(fresh bool) []Item {
	herb := Item{Key: "herb-dry", Text: "The dried herb crackles; it smells and looks as it should.", Why: "Damp herb brings water and mould into the oil."}
	if fresh {
		herb = Item{Key: "herb-dry", Text: "The herb is dry on the surface: no dew, nothing washed and wet.", Why: "Drops of water spit out of hot oil."}
	}
	herb.Safety = fresh
	return []Item{
		herb,
		{Key: "clean", Text: "Hands, knife, dish and glass are clean and dry.", Why: "A water bath does not sterilise."},
		{Key: "stays", Text: "Somebody stays, from lighting to straining.", Why: "A lit bath is never left alone.", Safety: true},
		{Key: "gloves", Text: "Dry oven gloves are at hand.", Why: "Hot oil clings and burns.", Safety: true},
		{Key: "lid", Text: "A lid to smother a fire is at hand.", Why: "Lid on, heat off, leave it. Never water on burning oil.", Safety: true},
		{Key: "water", Text: "Hot water to top up with stands ready.", Why: "Below its base water no longer heats the dish; then the pan runs dry.", Safety: true},
		{Key: Alarms, Text: "The alarms are proven: a trial was heard.", Why: "A call that nobody hears is none.", Safety: true},
		{Key: "papers", Text: "Recipe and batch sheet are at hand.", Why: "What is not written down nobody can check."},
		{Key: "materials", Text: "Herb and oil are at hand, looked at and released for use.", Why: "Each with its lot, and within its date."},
		{Key: "equipment", Text: "Hob, pan, dish, probes and scale work and are clean.", Why: "The probes: one in the oil, one in the water.", Safety: true},
		{Key: "cleared", Text: "The place is cleared of other work.", Why: "So that nothing of it gets into this batch."},
	}
}

// ItemOf returns the item of a key; ok is false for one that this version does not
// know.
func ItemOf(key string, fresh bool) (i Item, ok bool) {
	all := Items(fresh)
	n := slices.IndexFunc(all, func(i Item) bool { return i.Key == key })
	if n < 0 {
		return Item{}, false
	}
	return all[n], true
}

// Checks is a checklist that somebody went through.
type Checks struct {
	When time.Time
	Who  string
	Done map[string]bool // by key
}

// undone lists the items that were not seen to, in order.
func (c *Checks) undone(fresh bool) (all []Item) {
	for _, i := range Items(fresh) {
		if !c.Done[i.Key] {
			all = append(all, i)
		}
	}
	return all
}

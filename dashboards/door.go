package dashboards

import "io"

// DoorPage asks who comes in, or tells who is in.
type DoorPage struct {
	Site, Version, Assets string

	Who, Role string // who is in; empty: nobody
	To        string // the page that was asked for
	Name      string // as it was typed
	Says      string // why they stay outside; empty: they have not tried
	Nobody    bool   // nobody has a password yet
}

// RenderDoor writes the page at which people sign in and out. It works without
// JavaScript.
func (t *Pages) RenderDoor(w io.Writer, p DoorPage) error { return t.execute(w, "door-page", p) }

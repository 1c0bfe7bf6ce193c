package app

import (
	"context"
	"errors"
	"fmt"
	"log"
	"log/slog"
	"time"

	"bainward/daemon/people"
	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/daemon/web"
)

// mayListen refuses to serve other machines pages on which everybody may do
// everything, or in the clear.
func (o *Options) mayListen() error {
	if site.Loopback(o.Listen) {
		return nil
	}
	const refused = "open the pages' address %s: other machines reach it, and %s"
	switch {
	case o.People == nil:
		return fmt.Errorf(refused, o.Listen, "nobody is named who may come: add a [[person]] with name and role for each, or listen at 127.0.0.1")
	case o.TLS == nil:
		return fmt.Errorf(refused, o.Listen, "the pages would be served in the clear: serve them under TLS, or listen at 127.0.0.1")
	}
	return nil
}

// openDoor opens what knows who may come in, and the certificate.
func (a *App) openDoor() error {
	if a.opt.TLS != nil {
		var err error
		if a.private, err = a.opt.TLS(a.opt.RecordDir); err != nil {
			return err
		}
	}
	if a.opt.People == nil {
		return nil
	}
	door, err := a.opt.People(a.opt.RecordDir, a.access)
	if err != nil {
		return fmt.Errorf("open the door of the pages: %w", err)
	}
	a.door = door
	a.onStop("door of the pages", door.Close)
	if !door.Ready() {
		const what = "nobody of the site file has a password: bainward people set-password NAME --site FILE gives one"
		if !site.Loopback(a.opt.Listen) {
			return errors.New("open the door of the pages: " + what)
		}
		a.opt.Logger.Warn(what)
	}
	return nil
}

// quietly is the log of the server itself: every browser that does not believe a
// certificate yet makes a line there.
func (a *App) quietly() *log.Logger {
	return slog.NewLogLogger(a.opt.Logger.Handler(), slog.LevelDebug)
}

// doorway is what the pages know of the door.
func (a *App) doorway() web.Doorway {
	d := a.opt.Doorway
	d.People = a.door
	d.Hosts = append([]string{}, d.Hosts...) // no name more than these
	return d
}

// accessWait bounds how long somebody who comes in waits for the record.
const accessWait = 5 * time.Second

// access records what happened at the door. A record that cannot be written keeps
// nobody from looking at the baths.
func (a *App) access(x people.Access) {
	ctx, cancel := context.WithTimeout(context.Background(), accessWait)
	defer cancel()
	err := a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		a.enterPersons(d) // before anybody comes in by it
		d.add("", record.Access{What: string(x.What), Who: x.Who, From: x.From, Tries: x.Tries})
		return nil
	})
	if err != nil {
		a.opt.Logger.Warn("what happened at the door is not in the record", "what", x.What, "who", x.Who, "tries", x.Tries, "error", err)
	}
}

// MayOrder says why somebody who signed an order at the broker may not give it.
func (a *App) MayOrder(who string) error {
	if a.door == nil {
		return errors.New("nobody of the site file may give orders")
	}
	p, known := a.door.Named(who)
	switch {
	case !known || p.Name != who:
		return fmt.Errorf("no [[person]] of the site file is called %q", who)
	case !p.Role.May(people.Enter):
		return fmt.Errorf("%s is a %s and may not %s", who, p.Role, people.Enter)
	}
	return nil
}

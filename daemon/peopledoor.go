package main

import (
	"fmt"
	"io"
	"log/slog"
	"os"

	"bainward/daemon/people"
	"bainward/daemon/site"
	"bainward/daemon/web"
)

// openPeople opens what knows who may come in, with what it keeps in dir; nil if the
// site file names nobody.
func openPeople(s *site.Site, log *slog.Logger) func(dir string, said func(people.Access)) (*people.Door, error) {
	if len(s.People) == 0 {
		return nil
	}
	return func(dir string, said func(people.Access)) (*people.Door, error) {
		all, err := peopleOf(s)
		if err != nil {
			return nil, err
		}
		return people.Open(people.Options{People: all, File: s.Door.PeopleFile, Dir: dir, Logger: log, Said: said})
	}
}

func peopleOf(s *site.Site) ([]people.Person, error) {
	all := make([]people.Person, 0, len(s.People))
	for _, p := range s.People {
		role, err := people.ParseRole(p.Role)
		if err != nil {
			return nil, err
		}
		all = append(all, people.Person{Name: p.Name, Role: role})
	}
	return all, nil
}

// doorwayOf says by which names the pages of a site are asked for.
func doorwayOf(s *site.Site) web.Doorway {
	host, err := os.Hostname()
	if err != nil {
		host = ""
	}
	d := web.Doorway{Hosts: s.Names(host), Public: s.Phone.Address, Lasting: s.Door.Cert != ""}
	if d.Hosts == nil {
		d.Hosts = []string{} // none, which is not any
	}
	if ref := s.Door.MetricsToken; ref.Set() {
		d.MetricsToken = func() (string, error) { return ref.Read(os.Getenv) }
	}
	return d
}

// tellDoor says who may come in, and what a browser must show.
func tellDoor(out io.Writer, s *site.Site, c *certificate) {
	if len(s.People) == 0 {
		fmt.Fprintln(out, "Nobody signs in, so they are for this machine alone; [[person]] in the site file lets others in.")
	}
	if c != nil && c.selfMade {
		fmt.Fprintf(out, "Their certificate is self-made. Before you let a browser believe it, compare its SHA-256 fingerprint:\n  %s\n", c.fingerprint())
	}
}

// checkPasswords tells who of the site file has no password yet. That nobody has one
// is an error where other machines reach the pages: the daemon would not start. dir
// is the folder of the record.
func checkPasswords(s *site.Site, dir string) (warnings []string, err error) {
	if len(s.People) == 0 {
		return nil, nil
	}
	since, err := people.OpenBook(s.Door.PeopleFile, dir).Passwords()
	if err != nil {
		return nil, err
	}
	for _, p := range s.People {
		if _, has := since[p.Name]; !has {
			warnings = append(warnings, fmt.Sprintf("%s has no password and cannot come in: bainward people set-password %q --site %s", p.Name, p.Name, s.File))
		}
	}
	if len(warnings) == len(s.People) && !site.Loopback(s.Listen) {
		return warnings, fmt.Errorf("%s: listen = %q lets other machines in, and nobody has a password yet: the daemon will not start before somebody has", s.File, s.Listen)
	}
	return warnings, nil
}

package site

import (
	"fmt"
	"net"
	"net/url"
	"slices"
	"strings"

	"bainward/rules/alarm"
)

// Warnings lists what is allowed and probably not meant: each a sentence without
// its full stop.
func (s *Site) Warnings() []string {
	all := s.peopleWarnings()
	for _, ch := range s.Channels {
		if !s.uses(ch) {
			all = append(all, fmt.Sprintf("channel %s is in no [[contact]], so nothing goes through it", ch.Name))
		}
	}
	if len(s.Contacts) == 0 {
		return all
	}
	hears := func(c Contact) bool { return c.Least <= alarm.High }
	if !slices.ContainsFunc(s.Contacts, hears) {
		all = append(all, "every contact has least = \"critical\", so nobody is called when a dish is bare")
	}
	return append(all, s.addressWarnings()...)
}

// uses reports whether something goes through ch. What is on a pin needs nobody
// to be called.
func (s *Site) uses(ch Channel) bool {
	return ch.Kind == PinChannel || slices.ContainsFunc(s.Contacts, func(c Contact) bool {
		return slices.Contains(c.Channels, ch.Name)
	})
}

// addressWarnings holds the address of the pages against what phones can do. A
// browser lets only a page that came safely ask for push messages (W3C Push
// API: a secure context).
func (s *Site) addressWarnings() []string {
	if s.Phone.Address == "" {
		return []string{"[phone] has no address, so messages carry no link and are answered on the page only"}
	}
	u, err := url.Parse(s.Phone.Address)
	if err != nil {
		return nil // Parse has let no such address pass
	}
	switch {
	case loopback(net.JoinHostPort(u.Hostname(), "0")):
		return []string{fmt.Sprintf("%s is this machine itself: a phone finds nothing there", s.Phone.Address)}
	case u.Scheme == "https":
		return nil
	}
	var all []string
	if loopback(s.Listen) {
		all = append(all, fmt.Sprintf("the pages are served to this machine only (%s): what is at %s must pass them on", s.Listen, s.Phone.Address))
	}
	var push []string
	for _, ch := range s.Channels {
		if ch.Kind == PushChannel {
			push = append(push, ch.Name)
		}
	}
	if len(push) > 0 {
		return append(all, fmt.Sprintf("browsers allow push only to pages under https://, so no phone can sign up for %s at %s", strings.Join(push, ", "), s.Phone.Address))
	}
	return append(all, "https:// is better for address: over http:// whoever shares the network can read along, and answer in another's name")
}

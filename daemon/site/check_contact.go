package site

import (
	"slices"
	"strings"
	"time"
	"unicode"

	"bainward/rules/alarm"
)

// Somebody needs a minute to dry their hands and find the phone; after twenty
// without water the dish may be bare, so the next must have been called.
const (
	defaultWait      = 5
	minWait, maxWait = 1, 20
)

func (c *checker) contacts(tables []contactTable, channels []Channel) []Contact {
	seen := map[string]int{}
	contacts := make([]Contact, 0, len(tables))
	for i, t := range tables {
		path := element("contact", i)
		c.personName(path, t.Name, seen)
		c.ownChannels(path, t, channels)
		contacts = append(contacts, Contact{
			Name:     t.Name,
			Channels: t.Channels,
			Wait:     c.wait(path, t.WaitMin),
			Least:    c.priority(path, "least", t.Least, alarm.Low),
			Quiet:    c.quiet(path, t.Quiet),
		})
	}
	return contacts
}

// personName checks a name as people write theirs: any letters, and spaces.
func (c *checker) personName(path, name string, seen map[string]int) {
	key := join(path, "name")
	fold := strings.ToLower(name)
	switch {
	case name == "":
		c.addf(key, "name is missing: who is called")
	case len(name) > maxName || strings.TrimSpace(name) != name || strings.ContainsFunc(name, unfitForPerson):
		c.addf(key, "name = %q must be at most %d bytes of letters, digits, spaces and . ' -", name, maxName)
	case seen[fold] > 0:
		c.addf(key, "name = %q is taken by line %d: names must differ, in more than capitals", name, seen[fold])
	default:
		seen[fold] = c.outline.line(key)
	}
}

func unfitForPerson(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" .'-_", r)
}

// ownChannels checks that each channel of a contact is there, and may be theirs.
func (c *checker) ownChannels(path string, t contactTable, channels []Channel) {
	if len(t.Channels) == 0 {
		c.addf(path+".channels", "channels is missing: through which [[channel]] to call, such as [\"robin-phone\"]")
	}
	for i, name := range t.Channels {
		key := element(path+".channels", i)
		at := slices.IndexFunc(channels, func(ch Channel) bool { return ch.Name == name && name != "" })
		switch {
		case at < 0:
			c.addf(key, "channels holds %q, which is no [[channel]]; %s", name, meant(name, channelNames(channels)))
		case slices.Contains(t.Channels[:i], name):
			c.addf(key, "channels holds %q twice", name)
		case channels[at].Kind == PinChannel:
			c.addf(key, "channels holds %q, which is on a pin: whoever is near hears it, so it is in no contact", name)
		case channels[at].Kind == PushChannel && channels[at].Contact != t.Name && t.Name != "":
			c.addf(key, "channels holds %q, which reaches the devices of %q: give %q a push channel of their own", name, channels[at].Contact, t.Name)
		}
	}
}

func channelNames(channels []Channel) []string {
	var names []string
	for _, ch := range channels {
		if ch.Name != "" {
			names = append(names, ch.Name)
		}
	}
	return names
}

// owners checks that each push channel is for a contact that there is.
func (c *checker) owners(s *Site) {
	names := make([]string, 0, len(s.Contacts))
	for _, contact := range s.Contacts {
		if contact.Name != "" {
			names = append(names, contact.Name)
		}
	}
	for i, ch := range s.Channels {
		if ch.Kind == PushChannel && ch.Contact != "" && !slices.Contains(names, ch.Contact) {
			c.addf(element("channel", i)+".contact", "contact = %q is no [[contact]]; %s", ch.Contact, meant(ch.Contact, names))
		}
	}
}

func (c *checker) wait(path string, n int64) time.Duration {
	if !c.given(path + ".wait_min") {
		return defaultWait * time.Minute
	}
	if n < minWait || n > maxWait {
		c.addf(path+".wait_min", "wait_min = %d must be from %d (hands must be dried first) to %d (a dish may be bare by then)", n, minWait, maxWait)
	}
	return minutes(n)
}

// quiet reads a span of the day such as 22:00-07:00.
func (c *checker) quiet(path, text string) Quiet {
	key := path + ".quiet"
	if !c.given(key) {
		return Quiet{}
	}
	from, to, found := strings.Cut(text, "-")
	start, okStart := minuteOfDay(from)
	end, okEnd := minuteOfDay(to)
	switch {
	case !found || !okStart || !okEnd:
		c.addf(key, `quiet = %q must be two times of day, such as "22:00-07:00"`, text)
	case start == end:
		c.addf(key, "quiet = %q holds no minute, or all: leave the key out, or set least higher", text)
	default:
		return Quiet{From: start, To: end}
	}
	return Quiet{}
}

// minuteOfDay reads a time of day as hh:mm.
func minuteOfDay(text string) (int, bool) {
	if len(text) != len("15:04") {
		return 0, false
	}
	at, err := time.Parse("15:04", text)
	return at.Hour()*60 + at.Minute(), err == nil
}

package site

import (
	"net/mail"
	"net/url"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bainward/rules/alarm"
)

// calls checks everything about telling people, in an order in which each part
// can be held against those before it.
func (c *checker) calls(doc document, s *Site) {
	pins := c.takenPins(s)
	s.Channels = c.channels(doc.Channel, pins)
	s.Contacts = c.contacts(doc.Contact, s.Channels)
	c.owners(s)
	s.Phone = c.phone(doc.Phone, doc.Channel)
	s.Heartbeat = c.heartbeat(doc.Heartbeat)
	s.Siblings = c.siblings(doc.Sibling, s)
	s.Cutouts = c.cutouts(doc.Cutout, s, pins)
}

// An unanswered alarm is repeated often enough to be heard at the sink, and not
// so often that somebody turns the phone off or a service throttles it (common
// practice, no source). A bare base follows some 20 minutes after the first
// warning, so a longer pause would be none at all.
const (
	defaultRepeat        = 3
	minRepeat, maxRepeat = 1, 20
)

func (c *checker) phone(t phoneTable, channels []channelTable) Phone {
	p := Phone{Repeat: defaultRepeat * time.Minute, Subject: t.Subject}
	if c.given("phone.address") {
		p.Address = c.pagesAddress(t.Address)
	}
	if c.given("phone.repeat_min") {
		if t.RepeatMin < minRepeat || t.RepeatMin > maxRepeat {
			c.addf("phone.repeat_min", "repeat_min = %d must be from %d (oftener, and people turn it off) to %d (a dish may be bare by then)", t.RepeatMin, minRepeat, maxRepeat)
		}
		p.Repeat = minutes(t.RepeatMin)
	}
	push := slices.IndexFunc(channels, func(t channelTable) bool { return t.Kind == PushChannel.String() })
	switch {
	case c.given("phone.subject"):
		if !subject(t.Subject) {
			c.addf("phone.subject", "subject must be mailto: and a mail address, or an https:// address: whom a push service may write to")
		}
	case push >= 0:
		c.addf(element("channel", push), "push needs subject in [phone]: whom a push service may write to, such as \"mailto:keeper@alder-yard.example\"")
	}
	return p
}

func minutes(n int64) time.Duration { return time.Duration(n) * time.Minute }

// pagesAddress checks where phones find the pages. A faulty one is not
// repeated: it may hold a password.
func (c *checker) pagesAddress(text string) string {
	u, err := url.Parse(text)
	switch {
	case err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "":
		c.addf("phone.address", `address must be http://host:port or https://host:port, such as "https://alder-yard.example"`)
	case u.User != nil:
		c.addf("phone.address", "address must not hold a name or password: it stands in every message")
	case u.Path != "" && u.Path != "/" || u.RawQuery != "" || u.Fragment != "":
		c.addf("phone.address", "address must end after host and port: the links add their own paths")
	default:
		return u.Scheme + "://" + u.Host
	}
	return ""
}

// subject reports whether text is what RFC 8292, 2.1, asks for.
func subject(text string) bool {
	if address, found := strings.CutPrefix(text, "mailto:"); found {
		return mailAddress(address)
	}
	u, err := url.Parse(text)
	return err == nil && u.Scheme == "https" && u.Hostname() != "" && u.User == nil
}

// mailAddress reports whether text is one bare address (RFC 5322, addr-spec).
func mailAddress(text string) bool {
	a, err := mail.ParseAddress(text)
	return err == nil && a.Address == text
}

// A heartbeat oftener than minBeat is a load on somebody else's machine; one
// rarer than maxBeat tells of a dead daemon after the pan is dry.
const (
	defaultBeat      = 60
	minBeat, maxBeat = 10, 15 * 60
)

func (c *checker) heartbeat(t heartbeatTable) *Heartbeat {
	if !c.given("heartbeat") {
		return nil
	}
	h := &Heartbeat{
		URL:   c.secret("heartbeat", "url", t.URLFile, t.URLEnv, "the address to tell", webAddress),
		Every: c.seconds("heartbeat", "every_s", t.EveryS, defaultBeat, minBeat, maxBeat),
	}
	return h
}

// seconds checks a whole number of seconds that may be left out.
func (c *checker) seconds(table, key string, value, usual, lo, hi int64) time.Duration {
	if !c.given(join(table, key)) {
		value = usual
	}
	if value < lo || value > hi {
		c.addf(join(table, key), "%s = %d must be from %d to %d", key, value, lo, hi)
	}
	return time.Duration(value) * time.Second
}

func (c *checker) siblings(tables []siblingTable, s *Site) []string {
	seen := map[string]int{}
	var names []string
	for i, t := range tables {
		path := element("sibling", i)
		key := join(path, "site")
		level := topicLevel(t.Site)
		switch {
		case s.Broker == nil:
			c.addf(path, "a sibling is watched through a broker, and this file has no [broker]")
		case strings.TrimSpace(t.Site) == "":
			c.addf(key, "site is missing: the name that the other daemon's site file gives")
		case len(t.Site) > maxSiteName || strings.ContainsFunc(t.Site, unfitForTopic) || level == "":
			c.addf(key, "site = %q is no site's name: at most %d bytes without + # / and control characters", t.Site, maxSiteName)
		case level == topicLevel(s.Name):
			c.addf(key, "site = %q is this site itself: its own end it cannot tell", t.Site)
		case seen[level] > 0:
			c.addf(key, "site = %q is watched on line %d already", t.Site, seen[level])
		default:
			seen[level] = c.outline.line(key)
			names = append(names, t.Site)
		}
	}
	return names
}

// topicLevel turns a site's name into what topics say of it, as
// publish.Level does, from which no arrow leads here: sites with one level are
// one site.
func topicLevel(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_' || r >= utf8.RuneSelf && r != utf8.RuneError)
	}), "-")
}

// priority reads the word for the least priority that counts.
func (c *checker) priority(table, key, word string, usual alarm.Priority) alarm.Priority {
	if !c.given(join(table, key)) {
		return usual
	}
	for p := alarm.Low; p <= alarm.Critical; p++ {
		if p.String() == word {
			return p
		}
	}
	c.addf(join(table, key), "%s = %q must be low, medium, high or critical", key, word)
	return usual
}

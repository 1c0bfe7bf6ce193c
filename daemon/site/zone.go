package site

import (
	"fmt"
	"strings"
	"time"
	_ "time/tzdata" // a bare Pi has no tables of time zones
)

// zone returns the time zone of that name; nil if none is named.
func (c *checker) zone(name string) *time.Location {
	if !c.given("site.time_zone") {
		return nil
	}
	zone, err := loadZone(name)
	if err != nil {
		hint := `want a name of the IANA data base, such as "Europe/Dublin" or "America/Denver"`
		if near := nearZone(name); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		c.addf("site.time_zone", "time_zone = %q is no time zone: %s", name, hint)
	}
	return zone
}

// loadZone finds a zone by its name. It takes none that only some machines know:
// this one's own, and those that count leap seconds.
func loadZone(name string) (*time.Location, error) {
	for _, odd := range []string{"right/", "posix/", "localtime", "posixrules", "Local", "Factory"} {
		if name == "" || strings.HasPrefix(name, odd) {
			return nil, fmt.Errorf("time zone %q is not the same everywhere", name)
		}
	}
	return time.LoadLocation(name)
}

// nearZone finds the zone that was meant where only capitals or underscores are wrong.
func nearZone(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == '_' })
	capital := strings.Join(words, "_")
	up := true
	capital = strings.Map(func(r rune) rune {
		first := up
		up = r == '/' || r == '_' || r == '-'
		if first && r >= 'a' && r <= 'z' {
			return r - 'a' + 'A'
		}
		return r
	}, capital)
	for _, try := range []string{capital, strings.ToUpper(name)} {
		if _, err := loadZone(try); err == nil {
			return try
		}
	}
	return ""
}

// clockWords says by which clock days and times are shown.
func (s *Site) clockWords() string {
	if s.Zone == nil {
		return "no time_zone is named: sheets, labels and text are dated in UTC"
	}
	return "days and times are those of " + s.Zone.String()
}

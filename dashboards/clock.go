package dashboards

import (
	"html/template"
	"time"
)

// clockWords are the words of the templates that tell instants by the clocks of the
// site. A script writes over them by the same clocks, in the reader's language; where
// zone is nil, by the reader's own.
func clockWords(zone *time.Location) template.FuncMap {
	name := ""
	if zone != nil {
		name = zone.String()
	} else {
		zone = time.Local
	}
	in := func(layout string) func(time.Time) string {
		return func(t time.Time) string { return t.In(zone).Format(layout) }
	}
	return template.FuncMap{
		"zone":    func() string { return name },
		"clock":   in("15:04"),
		"seconds": in("15:04:05"),
		"day":     in("2006-01-02 15:04"),
		"date":    in(time.DateOnly),
	}
}

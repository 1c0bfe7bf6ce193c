package service

import (
	"maps"
	"slices"
	"strings"

	"bainward/daemon/phone/notice"

	"github.com/nicholas-fedor/shoutrrr/pkg/services/specialized/generic"
	"github.com/nicholas-fedor/shoutrrr/pkg/types"
)

// library is a service of the library.
type library interface {
	Send(message string, params *types.Params) error
}

// manner is what a service can show beside the text.
type manner struct {
	title bool              // it shows the library's title
	link  string            // the parameter that makes a tap open the link; empty: none
	quiet map[string]string // the parameters that make it show and wake nobody
}

// manners holds the services that show more than text. The others get the title
// as the text's first line: some drop it (mattermost, matrix), some refuse the
// whole notice because of it (pagerduty, wecom). Read from the library's v0.13.2.
// The quiet priorities are those of the services' own documentation, from memory.
var manners = map[string]manner{
	"bark":       {title: true, link: "url"},
	"discord":    {title: true},
	"gotify":     {title: true, quiet: map[string]string{"priority": "1"}},
	"join":       {title: true},
	"notifiarr":  {title: true},
	"ntfy":       {title: true, link: "click", quiet: map[string]string{"priority": "low"}},
	"opsgenie":   {title: true},
	"pushbullet": {title: true},
	"pushover":   {title: true, quiet: map[string]string{"priority": "-1"}},
	"slack":      {title: true},
	"smtp":       {title: true},
	"teams":      {title: true},
}

// compose makes the text and the parameters that the service kind gets.
func compose(kind string, s library, n notice.Notice) (string, types.Params) {
	m := manners[kind]
	if g, ok := s.(*generic.Service); ok { // without a template it posts the bare text
		m.title = g.Config.Template != ""
	}
	params := types.Params{}
	if m.title && n.Title != "" {
		params[types.TitleKey] = oneLine(n.Title)
	}
	if m.link != "" && n.Link != "" {
		params[m.link] = n.Link
	}
	if n.Quiet {
		maps.Copy(params, m.quiet)
	}
	return text(n, !m.title), params
}

// text is the notice as lines: title if wanted, text, link.
func text(n notice.Notice, titled bool) string {
	parts := []string{n.Text, n.Link}
	if titled {
		parts = []string{oneLine(n.Title), n.Text, n.Link}
	}
	parts = slices.DeleteFunc(parts, func(p string) bool { return strings.TrimSpace(p) == "" })
	return strings.Join(parts, "\n")
}

// oneLine makes a header's value of s: some services send the title as one.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

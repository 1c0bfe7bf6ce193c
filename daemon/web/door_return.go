package web

import (
	"net/url"
	"strings"
	"unicode"
)

// maxReturn bounds an address to come back to, bytes.
const maxReturn = 500

// doorFor is the door for somebody who asked for uri.
func doorFor(uri string) string {
	to := safeReturn(uri)
	if to == "/" {
		return "/door"
	}
	return "/door?to=" + url.QueryEscape(to)
}

// safeReturn returns to if it is a page of ours, or the first page. Whoever sends
// somebody a link to the door must not choose where they are led by it: browsers
// take //host and /\host for another site, and leave tabs and line ends out before
// they look (WHATWG URL).
func safeReturn(to string) string {
	const first = "/"
	if len(to) > maxReturn || !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") ||
		strings.Contains(to, `\`) || strings.ContainsFunc(to, func(r rune) bool { return unicode.IsControl(r) || r == unicode.ReplacementChar }) {
		return first
	}
	u, err := url.Parse(to)
	if err != nil || u.IsAbs() || u.Host != "" || u.User != nil {
		return first
	}
	if u.Path == "/door" || strings.HasPrefix(u.Path, "/door/") || strings.HasPrefix(u.EscapedPath(), "//") {
		return first
	}
	return (&url.URL{Path: u.Path, RawPath: u.RawPath, RawQuery: u.RawQuery}).String()
}

package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Problem is one thing that is wrong with a site file.
type Problem struct {
	File string // as given to Load or Parse
	Line int    // from 1; 0 when something is missing from the whole file
	In   string // the table, such as [[bath]] "north"; may be empty
	Text string // the key, what was found and what was expected
}

// Error writes p on one line.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, " line %d", p.Line)
	}
	b.WriteString(": ")
	if p.In != "" {
		b.WriteString(p.In + ": ")
	}
	b.WriteString(p.Text)
	return b.String()
}

// Errors is everything found wrong with a site file, in the order of its lines.
type Errors []Problem

// Error writes one line a problem.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, p := range e {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// problems collects what is wrong while the checks go on.
type problems struct {
	file    string
	outline outline
	found   Errors
}

// addf notes a problem with the key at path, such as bath[0].oil_probe.
func (p *problems) addf(path, format string, args ...any) {
	p.found = append(p.found, Problem{
		File: p.file,
		Line: p.outline.line(path),
		In:   p.outline.tableOf(path),
		Text: fmt.Sprintf(format, args...),
	})
}

// err returns what was found, sorted, or nil.
func (p *problems) err() error {
	if len(p.found) == 0 {
		return nil
	}
	slices.SortStableFunc(p.found, func(a, b Problem) int { return a.Line - b.Line })
	return slices.Compact(p.found)
}

// tableOf names the table at the head of path as the file writes it.
func (o outline) tableOf(path string) string {
	head, _, _ := strings.Cut(path, ".")
	kind, index, isArray := strings.Cut(head, "[")
	switch {
	case head == "":
		return ""
	case !isArray:
		return "[" + kind + "]"
	case o.names[head] != "":
		return fmt.Sprintf("[[%s]] %q", kind, o.names[head])
	}
	n, _ := strconv.Atoi(strings.TrimSuffix(index, "]")) // the outline wrote it
	return fmt.Sprintf("[[%s]] number %d", kind, n+1)
}

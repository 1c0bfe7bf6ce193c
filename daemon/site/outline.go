package site

import (
	"fmt"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// outline says where in the file each key stands, so that a check made after
// decoding can still name the line. Paths are written bath[0].oil_probe; a
// table's own path leads to the line of its header.
//
// It uses go-toml's parser below the decoder, the only part of that module that
// keeps positions of keys that decode without error. The package is marked
// unstable by its authors; the version is pinned in go.mod.
type outline struct {
	lines map[string]int    // path -> line, from 1
	names map[string]string // path of a table -> what tells it from its like
	odd   []oddity          // what the decoder would let pass
}

// oddity is something that TOML or the decoder allows and a site file does not.
type oddity struct{ path, text string }

// outlineOf walks data as far as it parses.
func outlineOf(data []byte) outline {
	w := walker{
		outline: outline{lines: map[string]int{}, names: map[string]string{}},
		counts:  map[string]int{},
		ends:    newlines(data),
	}
	w.parser.Reset(data)
	table := ""
	for w.parser.NextExpression() {
		switch e := w.parser.Expression(); e.Kind {
		case unstable.Table, unstable.ArrayTable:
			table = w.header(e)
		case unstable.KeyValue:
			w.keyValue(table, e)
		}
	}
	return w.outline
}

// line returns the line of path, or of the nearest table around it; 0 if none.
func (o outline) line(path string) int {
	for path != "" {
		if n, ok := o.lines[path]; ok {
			return n
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return 0
}

// pathOn returns the path of the key that stands on line; where several of
// that name do, the first in order. It is empty if none does.
func (o outline) pathOn(line int, key string) string {
	found := ""
	for path, n := range o.lines {
		if n == line && lastKey(path) == key && (found == "" || path < found) {
			found = path
		}
	}
	return found
}

type walker struct {
	outline
	parser unstable.Parser
	counts map[string]int // path of an array of tables -> how many so far
	ends   []int          // offset of each line's end
}

func newlines(data []byte) []int {
	var ends []int
	for i, b := range data {
		if b == '\n' {
			ends = append(ends, i)
		}
	}
	return ends
}

func (w *walker) lineAt(offset uint32) int {
	return sort.SearchInts(w.ends, int(offset)) + 1
}

// header enters a [table] or [[table]] and returns its path. A part that names
// an array of tables means its last element.
func (w *walker) header(e *unstable.Node) string {
	path, line := "", 0
	for key := e.Key(); key.Next(); {
		part := w.key(path, key.Node())
		line = w.lineAt(key.Node().Raw.Offset)
		path = join(path, part)
		switch n := w.counts[path]; {
		case e.Kind == unstable.ArrayTable && key.IsLast():
			w.counts[path]++
			path = fmt.Sprintf("%s[%d]", path, n)
		case n > 0:
			path = fmt.Sprintf("%s[%d]", path, n-1)
		}
	}
	w.note(path, line)
	return path
}

func (w *walker) keyValue(table string, e *unstable.Node) {
	path, line := table, 0
	for key := e.Key(); key.Next(); {
		part := w.key(path, key.Node())
		line = w.lineAt(key.Node().Raw.Offset)
		if tellsApart(path, part) {
			w.names[path] = string(e.Value().Data)
		}
		path = join(path, part)
		w.note(path, line)
	}
	w.value(path, line, e.Value())
}

// tellsApart reports whether key tells the table at path from its like.
func tellsApart(path, key string) bool {
	switch kind, _, _ := strings.Cut(path, "["); kind {
	case "probe":
		return key == "address" || key == "name"
	case "sibling":
		return key == "site"
	case "cutout":
		return key == "bath"
	}
	return key == "name"
}

func (w *walker) value(path string, line int, v *unstable.Node) {
	switch v.Kind {
	case unstable.InlineTable:
		for child := v.Children(); child.Next(); {
			w.keyValue(path, child.Node())
		}
	case unstable.Array:
		i := 0
		for child := v.Children(); child.Next(); i++ {
			element := fmt.Sprintf("%s[%d]", path, i)
			w.note(element, line)
			w.value(element, line, child.Node())
		}
	case unstable.Float:
		if text := string(v.Data); strings.ContainsAny(text, "in") { // inf and nan
			w.odd = append(w.odd, oddity{path, fmt.Sprintf("%s = %s is not a number to measure with", lastKey(path), text)})
		}
	}
}

// key returns one part of a key. The decoder takes Name for name; the file
// should have one spelling, so that searching it finds everything.
func (w *walker) key(path string, n *unstable.Node) string {
	written := string(n.Data)
	part := strings.ToLower(written)
	if written != part {
		w.odd = append(w.odd, oddity{join(path, part), fmt.Sprintf("write %q in small letters: %s", written, part)})
		w.note(join(path, part), w.lineAt(n.Raw.Offset))
	}
	return part
}

// note keeps the first line of a path: where a table begins, not where it is
// taken up again.
func (w *walker) note(path string, line int) {
	if _, ok := w.lines[path]; !ok {
		w.lines[path] = line
	}
}

func join(path, part string) string {
	if path == "" {
		return part
	}
	return path + "." + part
}

func lastKey(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

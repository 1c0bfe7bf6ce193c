package site

import (
	"bytes"
	"errors"
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"bainward/rules"
)

// decode reads data strictly into a document whose limits start from the
// defaults. Unknown keys become problems and reading goes on; anything that
// stops the decoder is the last problem, and whole is false.
func decode(data []byte, p *problems) (doc document, whole bool) {
	doc.Limits = rules.DefaultLimits()
	err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(&doc)
	lines := strings.Split(string(data), "\n")
	var unknown *toml.StrictMissingError
	var broken *toml.DecodeError
	switch {
	case err == nil:
		return doc, true
	case errors.As(err, &unknown):
		for i := range unknown.Errors {
			p.unknownKey(&unknown.Errors[i], lines)
		}
		return doc, true
	case errors.As(err, &broken):
		p.broken(broken, lines)
	default:
		p.addf("", "%s", trimToml(err))
	}
	return doc, false
}

// unknownKey says which keys would have been understood in that place.
func (p *problems) unknownKey(e *toml.DecodeError, lines []string) {
	line, _ := e.Position()
	key := e.Key()
	if said := secretWritten(strings.ToLower(key[0]), key[len(key)-1]); said != "" {
		p.atLine(line, key, "%s", said)
		return
	}
	where := knownKeys(typeAt(key[:len(key)-1]))
	p.atLine(line, key, "unknown key in %q; known here: %s", hushed(lines, line), where)
}

// broken tells a value of the wrong kind from text that is not TOML.
func (p *problems) broken(e *toml.DecodeError, lines []string) {
	line, _ := e.Position()
	key := e.Key()
	if want := kindWanted(typeAt(key)); len(key) > 0 && want != "" {
		p.atLine(line, key, "%s wants %s: %q", key[len(key)-1], want, hushed(lines, line))
		return
	}
	why := trimToml(e)
	if mayHoldSecret(lines, line) {
		why, _, _ = strings.Cut(why, `"`) // which begins a quotation
	}
	p.atLine(line, nil, "not valid TOML: %s: %q", why, hushed(lines, line))
}

// atLine notes a problem that the decoder placed. Its key has no index, so the
// outline is asked which table stands around that line.
func (p *problems) atLine(line int, key toml.Key, format string, args ...any) {
	path := ""
	if len(key) > 0 {
		path = p.outline.pathOn(line, strings.ToLower(key[len(key)-1]))
	}
	p.addf(path, format, args...)
	p.found[len(p.found)-1].Line = line
}

func sourceLine(lines []string, n int) string {
	if n < 1 || n > len(lines) {
		return ""
	}
	return strings.TrimSpace(lines[n-1])
}

func trimToml(err error) string { return strings.TrimPrefix(err.Error(), "toml: ") }

// typeAt follows a key through the document; nil if it leads nowhere.
func typeAt(key toml.Key) reflect.Type {
	t := reflect.TypeFor[document]()
	for _, part := range key {
		if t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		field, ok := fieldNamed(t, part)
		if !ok {
			return nil
		}
		t = field.Type
	}
	return t
}

func fieldNamed(t reflect.Type, name string) (reflect.StructField, bool) {
	if t.Kind() != reflect.Struct {
		return reflect.StructField{}, false
	}
	for i := range t.NumField() {
		if f := t.Field(i); strings.EqualFold(tomlName(f), name) {
			return f, true
		}
	}
	return reflect.StructField{}, false
}

func tomlName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
	return name
}

// knownKeys lists the keys of the table that decodes into t.
func knownKeys(t reflect.Type) string {
	if t != nil && t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t == nil || t.Kind() != reflect.Struct || t.NumField() == 0 {
		return "nothing"
	}
	var names []string
	for i := range t.NumField() {
		if name := tomlName(t.Field(i)); name != "" {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// kindWanted says in words what a value of type t is written as; empty if that
// cannot be the trouble.
func kindWanted(t reflect.Type) string {
	if t == nil {
		return ""
	}
	if t == reflect.TypeFor[toml.LocalDate]() {
		return "a date such as 2026-02-14, without quotes"
	}
	switch t.Kind() {
	case reflect.Float64:
		return "a number without quotes"
	case reflect.Int64, reflect.Int:
		return "a whole number without quotes"
	case reflect.String:
		return `text in "quotes"`
	case reflect.Bool:
		return "true or false, without quotes"
	case reflect.Struct:
		return "a [table] in single brackets"
	case reflect.Slice:
		return "[[tables]] in double brackets"
	}
	return ""
}

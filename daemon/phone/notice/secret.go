package notice

import (
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"unique"
)

// Secret is a password, a key or an address that works like one. It shows
// itself to nobody: neither fmt, nor slog, nor JSON prints it. It holds the text
// by a handle, for of an unexported field fmt calls no method and prints what
// lies in it: an address of the memory, then. Equal secrets compare equal.
type Secret struct{ text unique.Handle[string] }

// NewSecret keeps text secret.
func NewSecret(text string) Secret {
	if text == "" {
		return Secret{}
	}
	return Secret{unique.Make(text)}
}

// Reveal returns the text, for the one place that needs it.
func (s Secret) Reveal() string {
	if s == (Secret{}) {
		return ""
	}
	return s.text.Value()
}

// Set reports whether there is one.
func (s Secret) Set() bool { return s.Reveal() != "" }

const hidden = "[secret]"

func (Secret) String() string { return hidden }

// GoString hides it from %#v.
func (Secret) GoString() string { return hidden }

// Format hides it from every verb of fmt.
func (Secret) Format(f fmt.State, _ rune) { _, _ = f.Write([]byte(hidden)) }

// LogValue hides it from slog.
func (Secret) LogValue() slog.Value { return slog.StringValue(hidden) }

// MarshalText hides it from JSON and TOML.
func (Secret) MarshalText() ([]byte, error) { return []byte(hidden), nil }

// shortest is the shortest part of a secret that is looked for: a shorter one
// would blot out half of every sentence.
const shortest = 4

// Redact returns err in words that hold none of the secrets, nor the parts of a
// secret address between its slashes, colons and at-signs. The chain of causes
// is cut, for it would still hold them; what Failure says is kept.
func Redact(err error, secrets ...Secret) error {
	if err == nil {
		return nil
	}
	clean := errors.New(Clean(err.Error(), secrets...))
	if f, ok := errors.AsType[*Failure](err); ok {
		return &Failure{Err: clean, Final: f.Final, After: f.After}
	}
	return clean
}

// Clean returns text without the secrets and their parts.
func Clean(text string, secrets ...Secret) string {
	for _, s := range secrets {
		if len(s.Reveal()) >= shortest {
			text = strings.ReplaceAll(text, s.Reveal(), hidden)
		}
		for _, part := range strings.FieldsFunc(s.Reveal(), cuts) {
			if len(part) >= shortest && !plainWords[part] {
				text = strings.ReplaceAll(text, part, hidden)
			}
		}
	}
	return text
}

func cuts(r rune) bool { return strings.ContainsRune("/:@?&=#", r) }

// plainWords stand in addresses and are nobody's secret.
var plainWords = map[string]bool{"http": true, "https": true, "smtp": true, "smtps": true}

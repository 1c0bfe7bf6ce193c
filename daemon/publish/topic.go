package publish

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// maxTopic is the longest topic in bytes [MQTT-4.7.3-3].
const maxTopic = 65535

// CheckTopic says what keeps s from being the topic of a message, by MQTT 3.1.1
// §4.7 and §3.3.2.1. Topics that begin with $ belong to the broker (§4.7.2).
func CheckTopic(s string) error {
	switch {
	case s == "":
		return fmt.Errorf("topic %q: empty", s)
	case len(s) > maxTopic:
		return fmt.Errorf("topic %.40q…: %d bytes long, and %d are allowed", s, len(s), maxTopic)
	case !utf8.ValidString(s):
		return fmt.Errorf("topic %q: not UTF-8", s)
	case strings.ContainsRune(s, 0):
		return fmt.Errorf("topic %q: holds a null character", s)
	case strings.ContainsAny(s, "+#"):
		return fmt.Errorf("topic %q: holds + or #, which stand for other topics", s)
	case s[0] == '$':
		return fmt.Errorf("topic %q: topics that begin with $ belong to the broker", s)
	}
	return nil
}

// Level turns a name for people into one level of a topic: lower case, with a
// dash for every run of anything but letters, digits and _. "Alder Yard"
// becomes "alder-yard". It is empty if the name has no letter or digit.
func Level(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_' || r >= utf8.RuneSelf && r != utf8.RuneError)
	})
	return strings.Join(words, "-")
}

// checkLevel says what keeps a bath's name from being one level of a topic.
func checkLevel(s string) error {
	if strings.Contains(s, "/") {
		return fmt.Errorf("name %q: holds a /, which separates the levels of a topic", s)
	}
	return CheckTopic(s)
}

// topics builds the topics of one site.
type topics struct{ root string } // PREFIX/SITE

func (t topics) status() string               { return t.root + "/status" }
func (t topics) of(bath, leaf string) string  { return t.root + "/" + bath + "/" + leaf }
func (t topics) alarm(bath, id string) string { return t.of(bath, "alarm/"+id) }
func (t topics) orders() string               { return t.root + "/+/do" }
func (t topics) answer(bath string) string    { return t.of(bath, "answer") }

// bathOf returns the bath that a topic of orders names.
func (t topics) bathOf(topic string) (bath string, ok bool) {
	rest, ok := strings.CutPrefix(topic, t.root+"/")
	if !ok {
		return "", false
	}
	bath, ok = strings.CutSuffix(rest, "/do")
	return bath, ok && bath != "" && !strings.Contains(bath, "/")
}

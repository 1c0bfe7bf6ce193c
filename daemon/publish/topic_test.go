package publish

import (
	"strings"
	"testing"
)

// The rules are those of MQTT 3.1.1 §4.7 and §3.3.2.1; the numbers of the
// statements stand beside them.
func TestTopicsKeepToMQTT(t *testing.T) {
	for _, good := range []string{
		"bainward/alder-yard/north/state",
		"/",                         // §4.7.3: allowed, and distinct from ""
		"/finance",                  // a leading / is a level of its own
		"Accounts payable",          // spaces are allowed
		"rotöl/ofen",                // UTF-8
		"a/$b",                      // $ counts only at the beginning
		strings.Repeat("x", 65_535), // [MQTT-4.7.3-3]
	} {
		if err := CheckTopic(good); err != nil {
			t.Errorf("%.40q is refused: %v", good, err)
		}
	}
	for name, bad := range map[string]string{
		"[MQTT-4.7.3-1] empty":      "",
		"[MQTT-4.7.3-2] null":       "a\x00b",
		"[MQTT-4.7.3-3] too long":   strings.Repeat("x", 65_536),
		"[MQTT-1.5.3-1] not UTF-8":  "a\xFFb",
		"[MQTT-3.3.2-2] plus":       "sport/+/player",
		"[MQTT-3.3.2-2] hash":       "sport/#",
		"[MQTT-4.7.2-1] the broker": "$SYS/uptime",
	} {
		if CheckTopic(bad) == nil {
			t.Errorf("%s: %.40q is accepted", name, bad)
		}
	}
}

func TestASiteNameBecomesOneLevel(t *testing.T) {
	for name, want := range map[string]string{
		"Alder Yard":         "alder-yard",
		"  Yard + Shed #2/b": "yard-shed-2-b",
		"Ölhof":              "ölhof",
		"a_b":                "a_b",
		"$SYS":               "sys",
		"a\x00b\xffc":        "a-b-c",
		"+#/":                "",
	} {
		got := Level(name)
		if got != want {
			t.Errorf("Level(%q) = %q, want %q", name, got, want)
		}
		if got != "" && checkLevel(got) != nil {
			t.Errorf("Level(%q) = %q is no level: %v", name, got, checkLevel(got))
		}
	}
}

func TestOnlyTheTopicOfOrdersNamesABath(t *testing.T) {
	site := topics{root: "bainward/alder-yard"}
	for topic, want := range map[string]string{
		"bainward/alder-yard/north/do":    "north",
		"bainward/alder-yard/north/state": "",
		"bainward/alder-yard/do":          "",
		"bainward/alder-yard//do":         "",
		"bainward/alder-yard/a/b/do":      "",
		"bainward/other/north/do":         "",
	} {
		got, ok := site.bathOf(topic)
		if ok != (want != "") || ok && got != want {
			t.Errorf("%s: bath %q, %v; want %q", topic, got, ok, want)
		}
	}
}

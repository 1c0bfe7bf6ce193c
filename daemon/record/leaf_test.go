package record

import (
	"encoding/hex"
	"encoding/json"
	"os/exec"
	"strings"
	"testing"
	"time"

	"bainward/rules"
)

// The bytes of an entry's line are the format that is hashed: they must stay as
// they are.
func TestAnEntryIsWrittenInFixedBytes(t *testing.T) {
	e := must(Of(time.Hour+123*Tick, nine.Add(time.Hour+123*Tick), "north", EventOf(rules.Event{Kind: rules.Note, Text: "a < b"}, "maker", "")))
	e.Seq = 41873
	want := `{"leaf":12,"seq":41873,"at_ms":3600123,"wall_ms":1772359200123,"bath":"north","kind":"event","body":{"text":"note a \u003c b","by":"maker"}}`
	if got := string(appendEntryLine(nil, 12, &e)); got != want {
		t.Errorf("got\n%s, want\n%s", got, want)
	}
	e.Bath, e.Body = "", json.RawMessage(`{}`)
	want = `{"leaf":0,"seq":41873,"at_ms":3600123,"wall_ms":1772359200123,"bath":"","kind":"event","body":{}}`
	if got := string(appendEntryLine(nil, 0, &e)); got != want {
		t.Errorf("got\n%s, want\n%s", got, want)
	}
}

// Anybody can make the hash of a leaf with sha256sum: RFC 6962, 2.1.
func TestALeafIsHashedAsSHA256SumDoesIt(t *testing.T) {
	line := `{"leaf":0,"seq":1,"at_ms":0,"wall_ms":1772355600000,"bath":"","kind":"stop","body":{}}`
	cmd := exec.Command("sha256sum")
	cmd.Stdin = strings.NewReader("\x00" + line)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	h := Leaf{Line: []byte(line)}.Hash()
	if got, want := hex.EncodeToString(h[:]), strings.Fields(string(out))[0]; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

package link

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func desk(t *testing.T) *Desk {
	t.Helper()
	d, err := Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// What a link says is read back from it until it ends, and not a second longer.
func TestALinkSaysWhatItWasMadeForUntilItEnds(t *testing.T) {
	d := desk(t)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[^\x00]{0,40}`)
		made := Ticket{Call: text.Draw(t, "call"), Contact: text.Draw(t, "contact"), Ends: noon.Add(Lasts)}
		token := d.Make(made)
		if got, err := d.Read(token, made.Ends.Add(-time.Second)); err != nil || got != made {
			t.Errorf("read %+v, %v; made %+v", got, err, made)
		}
		if _, err := d.Read(token, made.Ends); !errors.Is(err, ErrEnded) {
			t.Errorf("after its end it gives %v", err)
		}
		if strings.Trim(token, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_") != "" {
			t.Errorf("%q would be cut by a phone", token)
		}
	})
}

// No letter of a link can be changed, none can be left out, and no other
// daemon's link is taken.
func TestALinkThatWasChangedIsForeign(t *testing.T) {
	d := desk(t)
	token := d.Make(Ticket{Call: "north/boiling-dry/61000", Contact: "Robin", Ends: noon.Add(Lasts)})
	for i := range token {
		other := byte('A')
		if token[i] == other {
			other = 'B'
		}
		for _, changed := range []string{token[:i] + string(other) + token[i+1:], token[:i] + token[i+1:], token[:i]} {
			if ticket, err := d.Read(changed, noon); !errors.Is(err, ErrForeign) {
				t.Fatalf("changed at %d it says %+v, %v", i, ticket, err)
			}
		}
	}
	if _, err := desk(t).Read(token, noon); !errors.Is(err, ErrForeign) {
		t.Errorf("another daemon's link gives %v", err)
	}
	if _, err := d.Read(strings.Repeat("A", 1<<20), noon); !errors.Is(err, ErrForeign) {
		t.Errorf("a megabyte gives %v", err)
	}
}

// The key outlives a restart, is nobody else's to read, and a damaged one is
// named rather than replaced.
func TestTheKeyIsKept(t *testing.T) {
	dir := t.TempDir()
	d, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	token := d.Make(Ticket{Call: "c", Ends: noon.Add(Lasts)})
	again, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := again.Read(token, noon); err != nil {
		t.Errorf("after a restart: %v", err)
	}
	path := filepath.Join(dir, keyFile)
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key's mode is %v, %v", info.Mode(), err)
	}
	if err := os.WriteFile(path, []byte("short"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir); err == nil || !strings.Contains(err.Error(), path) || !strings.Contains(err.Error(), "remove it") {
		t.Errorf("a damaged key gives %v", err)
	}
}

package site

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// FuzzParse feeds Parse what people and disks produce. It must never panic, and
// either give a site whose every bath can be watched, or say what is wrong on
// lines that the file has.
func FuzzParse(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(sites, "*.toml"))
	if err != nil || len(files) == 0 {
		f.Fatalf("no seeds in %s (%v)", sites, err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte("\uFEFF" + designExample))
	f.Add([]byte(withCalls))
	for _, c := range badCalls {
		f.Add([]byte(c.text + designExample))
	}
	f.Add([]byte("bath = [{name = \"a\"}, {name = \"b\", wire = 3}]\n[site]\nname.x = 1"))
	f.Add([]byte("[[bath]]\n[bath.wire]\n[[bath.wire.x]]\n[limits]\n[[limits.x]]"))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := Parse("fuzz.toml", text)
		if err == nil {
			watchable(t, s)
			return
		}
		var all Errors
		if !errors.As(err, &all) || len(all) == 0 {
			t.Fatalf("error is %T %v, want Errors", err, err)
		}
		last := len(newlines(text)) + 1
		for _, p := range all {
			if p.Line < 0 || p.Line > last || p.Text == "" {
				t.Errorf("problem %+v points outside the %d lines", p, last)
			}
		}
	})
}

func watchable(t *testing.T, s *Site) {
	reachable(t, s)
	for _, b := range s.Baths {
		cfg, err := s.Config(b.Name, "")
		if err != nil {
			t.Fatalf("a site passed, but bath %q cannot be watched: %v", b.Name, err)
		}
		if cfg.Rig.DishOutsideDiameter >= cfg.Rig.PanInsideDiameter || cfg.Recipe.Hold <= 0 {
			t.Fatalf("a site passed with the config %+v", cfg)
		}
	}
	if s.Explain() == "" {
		t.Fatal("a site passed that cannot be explained")
	}
}

// reachable holds that whoever is called can be called: a fuzzed site that
// passed names only what it has.
func reachable(t *testing.T, s *Site) {
	names := channelNames(s.Channels)
	for _, contact := range s.Contacts {
		if len(contact.Channels) == 0 || contact.Wait < time.Minute || contact.Quiet.From != contact.Quiet.To && contact.Quiet.Holds(contact.Quiet.To) {
			t.Fatalf("a site passed with the contact %+v", contact)
		}
		for _, name := range contact.Channels {
			if !slices.Contains(names, name) {
				t.Fatalf("a site passed whose contact %q is called through %q, which is none of %q", contact.Name, name, names)
			}
		}
	}
	pins := map[string]bool{"GPIO4": s.Wires[0].Kind == KernelWire}
	for _, pin := range outputs(s) {
		if pins[pin] {
			t.Fatalf("a site passed in which %s is used twice", pin)
		}
		pins[pin] = true
	}
}

func outputs(s *Site) []string {
	var pins []string
	for _, ch := range s.Channels {
		if ch.Kind == PinChannel {
			pins = append(pins, ch.Pin.Name)
		}
	}
	for _, cut := range s.Cutouts {
		if cut.Pin != "" {
			pins = append(pins, cut.Pin)
		}
	}
	return pins
}

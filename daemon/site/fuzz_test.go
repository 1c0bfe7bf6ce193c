package site

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
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

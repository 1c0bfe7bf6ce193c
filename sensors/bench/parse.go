package bench

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// LoadScript reads the script in a file.
func LoadScript(path string) (Script, error) {
	f, err := os.Open(path)
	if err != nil {
		return Script{}, fmt.Errorf("load bath script: %w", err)
	}
	defer f.Close()
	return ParseScript(filepath.Base(path), f)
}

// ParseScript reads a script. An error names the script and the line.
func ParseScript(name string, r io.Reader) (Script, error) {
	p := parser{script: Script{Start: defaultStart}}
	lines := bufio.NewScanner(r)
	n := 0
	for lines.Scan() {
		n++
		text, _, _ := strings.Cut(lines.Text(), "#")
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		if err := p.line(text); err != nil {
			return Script{}, fmt.Errorf("%s:%d: %w", name, n, err)
		}
	}
	if err := lines.Err(); err != nil {
		return Script{}, fmt.Errorf("read %s after line %d: %w", name, n, err)
	}
	if !p.ended {
		return Script{}, fmt.Errorf("%s:%d: the script has no end: close it with at OFFSET end", name, n)
	}
	return p.script, nil
}

type parser struct {
	script Script
	last   time.Duration
	begun  bool // the first at line has been seen
	ended  bool
}

func (p *parser) line(text string) error {
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	switch {
	case p.ended:
		return errors.New("nothing may follow the end")
	case word == "start":
		return p.start(rest)
	case word == "at":
		return p.at(rest)
	}
	return fmt.Errorf("unknown word %q: a line begins with start or at", word)
}

func (p *parser) start(rest string) error {
	if p.begun {
		return errors.New("start stands before the first action")
	}
	t, err := time.Parse(time.RFC3339, rest)
	if err != nil {
		return fmt.Errorf("start %q: want a time such as %s", rest, defaultStart.Format(time.RFC3339))
	}
	p.script.Start = t.UTC()
	return nil
}

func (p *parser) at(rest string) error {
	p.begun = true
	offset, text, _ := strings.Cut(rest, " ")
	at, err := time.ParseDuration(offset)
	if err != nil || at < 0 {
		return fmt.Errorf("offset %q: want a duration such as 1h30m", offset)
	}
	if at < p.last {
		return fmt.Errorf("offset %s goes back: the line before is at %s", at, p.last)
	}
	p.last = at
	if text = strings.TrimSpace(text); text == "end" {
		p.script.Length, p.ended = at, true
		return nil
	}
	a, err := parseAction(text)
	if err != nil {
		return err
	}
	a.at, a.text = at, text
	p.script.actions = append(p.script.actions, a)
	return nil
}

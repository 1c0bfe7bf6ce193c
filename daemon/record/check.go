package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"bainward/sensors"
)

// check tells whether the entry would be read back as it is under the number seq.
func (e *Entry) check(seq int64) error {
	switch {
	case !e.Kind.Known():
		return fmt.Errorf("unknown kind %q", e.Kind)
	case e.At != RoundedAt(e.At) || e.Wall != RoundedWall(e.Wall):
		return errors.New("its instants are not in whole ticks: make it with OfFrame or Of")
	case e.Wall.Year() < 1 || e.Wall.Year() > 9999:
		return fmt.Errorf("wall time in the year %d: want 1 to 9999", e.Wall.Year())
	case !utf8.ValidString(e.Bath) || strings.ContainsRune(e.Bath, 0):
		return fmt.Errorf("bath name %q is not text", e.Bath)
	case e.Kind == KindReading:
		return e.checkReading()
	}
	return e.checkBody(seq)
}

func (e *Entry) checkReading() error {
	switch {
	case e.Bath == "":
		return errors.New("a reading needs its bath")
	case len(e.Body) != 0:
		return errors.New("a reading has no body")
	case e.Frame != Rounded(e.Frame):
		return errors.New("the frame is not rounded: pass it through Rounded before the rules see it")
	case e.Frame.At != e.At || e.Frame.Wall != e.Wall:
		return errors.New("the instants of entry and frame differ: make it with OfFrame")
	}
	_, err := columnsOf(e.Frame)
	return err
}

func (e *Entry) checkBody(seq int64) error {
	if e.Frame != (sensors.Frame{}) {
		return errors.New("only a reading has a frame")
	}
	if !json.Valid(e.Body) || !utf8.Valid(e.Body) {
		return fmt.Errorf("its body is not JSON: %q", e.Body)
	}
	// The body stands in the line of its leaf as it is.
	var compact bytes.Buffer
	if err := json.Compact(&compact, e.Body); err != nil || !bytes.Equal(compact.Bytes(), e.Body) {
		return fmt.Errorf("its body has spaces that say nothing: %q", e.Body)
	}
	b := newBody(e.Kind)
	if err := e.Decode(b); err != nil {
		return err
	}
	switch b := b.(type) {
	case *Correction:
		if b.Voids >= seq {
			return fmt.Errorf("it voids entry %d, which is not before it: its own number is %d", b.Voids, seq)
		}
	case *Key:
		if *b != (Key{Who: b.Who}) || e.Bath != "" {
			return errors.New("the record makes its keys itself: give an empty Key of the site")
		}
	case *Thinned:
		return errors.New("the record thins itself out: ask it with Thin")
	case *Checkpoint:
		if b.Note != "" || e.Bath != "" {
			return errors.New("the record signs its checkpoints itself: give one of the site without a note")
		}
	}
	return nil
}

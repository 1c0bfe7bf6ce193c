package record

import (
	"errors"
	"fmt"

	"bainward/rules"
)

// Cutout is a change of the heat cut-out of a bath: the heat was allowed, or cut.
type Cutout struct {
	Allow bool   `json:"allow"`
	Why   string `json:"why"`
	Trip  string `json:"trip,omitempty"` // the alarm that cut it and was not reset since
	By    string `json:"by,omitempty"`   // who reset it
}

// Kind returns KindCutout.
func (Cutout) Kind() Kind { return KindCutout }

func (b Cutout) check() error {
	if b.Why == "" {
		return errors.New("the cut-out does not say why")
	}
	if _, ok := rules.ParseID(b.Trip); b.Trip != "" && !ok {
		return fmt.Errorf("the cut-out was tripped by an unknown alarm %q", b.Trip)
	}
	return nil
}

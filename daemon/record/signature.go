package record

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// KindSignature is the kind of a Signature.
const KindSignature Kind = "signature"

// The meanings of a signature (21 CFR 11.50(a)(3) asks that each says its own).
const (
	Made     = "made"     // I made it, and the entries are true
	Reviewed = "reviewed" // I have read the record of it
	Released = "released" // it may be given out
	Rejected = "rejected" // it may not
)

// Meanings lists the meanings of a signature.
func Meanings() []string { return []string{Made, Reviewed, Released, Rejected} }

// Signature is somebody signing a batch as it stands under a checkpoint: all that
// comes later was not signed. Who signs gave the password again for it.
type Signature struct {
	Batch   string `json:"batch"`
	By      string `json:"by"`
	Role    string `json:"role,omitempty"` // in which they sign
	Meaning string `json:"meaning"`
	Remark  string `json:"remark,omitempty"`
	Size    int64  `json:"size"` // of the checkpoint, in leaves
	Root    string `json:"root"` // of the checkpoint, in base64
}

// Kind returns KindSignature.
func (Signature) Kind() Kind { return KindSignature }

func (b Signature) check() error {
	switch {
	case b.Batch == "":
		return errors.New("a signature names no batch")
	case b.By == "":
		return errors.New("nobody signs")
	}
	if err := checkRoot(b.Size, b.Root); err != nil {
		return fmt.Errorf("a signature must be bound to a checkpoint: %w", err)
	}
	if slices.Contains(Meanings(), b.Meaning) {
		return nil
	}
	return fmt.Errorf("meaning %q of a signature: want one of %s", b.Meaning, strings.Join(Meanings(), ", "))
}

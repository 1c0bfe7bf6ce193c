package record

import (
	"encoding/base64"
	"errors"
	"fmt"
)

// The kinds of entry by which the sites at one broker watch over each other's
// records.
const (
	KindWitness     Kind = "witness"     // what another site's record is now: Witness
	KindCosignature Kind = "cosignature" // another site signed our checkpoint: Cosignature
)

// Witness is a checkpoint of another site's record as it was seen here, so that
// it is held outside the machine that made it. With a Fault it was not believed.
type Witness struct {
	Site  string `json:"site"`
	Key   string `json:"key"`             // that signed it, as C2SP writes it
	Size  int64  `json:"size"`            // leaves
	Root  string `json:"root"`            // in base64
	Note  string `json:"note"`            // as it was signed
	Fault string `json:"fault,omitempty"` // why it was not believed
}

// Kind returns KindWitness.
func (Witness) Kind() Kind { return KindWitness }

func (b Witness) check() error {
	if b.Site == "" {
		return errors.New("a witness names no site")
	}
	if b.Fault != "" {
		return nil
	}
	return checkRoot(b.Size, b.Root)
}

// Cosignature is a checkpoint of this record that another site has signed too.
type Cosignature struct {
	Site string `json:"site"` // who signed
	Key  string `json:"key"`  // with what, as C2SP writes it
	Size int64  `json:"size"`
	Root string `json:"root"` // in base64
	Note string `json:"note"` // the checkpoint with both signatures
}

// Kind returns KindCosignature.
func (Cosignature) Kind() Kind { return KindCosignature }

func (b Cosignature) check() error {
	if b.Site == "" || b.Key == "" || b.Note == "" {
		return errors.New("a cosignature lacks its site, its key or its note")
	}
	return checkRoot(b.Size, b.Root)
}

// checkRoot says what is wrong with the size and root of a checkpoint.
func checkRoot(size int64, root string) error {
	if size < 1 {
		return errors.New("a checkpoint of no leaves")
	}
	if b, err := base64.StdEncoding.DecodeString(root); err != nil || len(b) != 32 {
		return fmt.Errorf("root %q is not 32 bytes in base64", root)
	}
	return nil
}

package record

import (
	"strings"
	"testing"
	"time"
)

// A signature says who signs, what it means and what of the record is signed; the
// checkpoints of others are kept as they were seen.
func TestSignaturesAndWitnessesAreReadBack(t *testing.T) {
	root := strings.Repeat("A", 43) + "="
	for _, b := range []Body{
		Signature{Batch: "2026-03-01-north-1", By: "Sorrel", Role: "auditor", Meaning: Released, Size: 7, Root: root},
		Witness{Site: "Long Meadow", Key: "a+b+c", Size: 7, Root: root, Note: "n"},
		Witness{Site: "Long Meadow", Fault: "the record was rewritten"},
		Cosignature{Site: "Long Meadow", Key: "a+b+c", Size: 7, Root: root, Note: "n"},
	} {
		if _, err := Of(time.Second, time.Unix(1772355600, 0), "", b); err != nil {
			t.Errorf("%+v: %v", b, err)
		}
	}
}

// What is signed by nobody, means nothing or is bound to nothing is refused.
func TestASignatureIsWhole(t *testing.T) {
	root := strings.Repeat("A", 43) + "="
	for want, b := range map[string]Body{
		"names no batch": Signature{By: "Sorrel", Meaning: Made, Size: 7, Root: root},
		"nobody signs":   Signature{Batch: "b", Meaning: Made, Size: 7, Root: root},
		"no leaves":      Signature{Batch: "b", By: "Sorrel", Meaning: Made, Root: root},
		"in base64":      Signature{Batch: "b", By: "Sorrel", Meaning: Made, Size: 7, Root: "AA=="},
		"want one of":    Signature{Batch: "b", By: "Sorrel", Meaning: "seen", Size: 7, Root: root},
		"names no site":  Witness{Size: 7, Root: root},
		"32 bytes":       Witness{Site: "Long Meadow", Size: 7},
		"lacks its site": Cosignature{Size: 7, Root: root},
		"of no leaves":   Cosignature{Site: "s", Key: "k", Note: "n", Root: root},
	} {
		if _, err := Of(time.Second, time.Unix(1772355600, 0), "", b); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", b, err, want)
		}
	}
}

package paper_test

import (
	"crypto/rand"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/mod/sumdb/note"
)

// signed returns a signed note (C2SP, signed-note) of an origin, and its verifier.
func signed(t *testing.T, origin string) (string, note.Verifier) {
	t.Helper()
	private, public, err := note.GenerateKey(rand.Reader, origin)
	if err != nil {
		t.Fatal(err)
	}
	signer, err := note.NewSigner(private)
	if err != nil {
		t.Fatal(err)
	}
	verifier, err := note.NewVerifier(public)
	if err != nil {
		t.Fatal(err)
	}
	text, err := note.Sign(&note.Note{Text: origin + "\n41873\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n"}, signer)
	if err != nil {
		t.Fatal(err)
	}
	return string(text), verifier
}

var numbered = regexp.MustCompile(`^(\d+)( +(.*))?$`)

// typedIn follows what the sheet says beside its checkpoint: numbered lines end with
// a line end, what has no number goes on without a space between.
func typedIn(t *testing.T, pdf []byte) string {
	t.Helper()
	text := string(run(t, pdf, "pdftotext", "-layout", "-", "-"))
	_, after, found := strings.Cut(text, "without a space between.\n")
	before, _, also := strings.Cut(after, "Signatures")
	if !found || !also {
		t.Fatalf("no checkpoint in\n%s", text)
	}
	var typed []string
	for line := range strings.SplitSeq(before, "\n") {
		switch parts := numbered.FindStringSubmatch(strings.TrimRight(line, " \f")); {
		case parts != nil:
			if parts[1] != fmt.Sprint(len(typed)+1) {
				t.Errorf("line %d has the number %s", len(typed)+1, parts[1])
			}
			typed = append(typed, parts[3])
		case strings.TrimSpace(line) != "":
			typed[len(typed)-1] += strings.TrimSpace(line)
		}
	}
	return strings.Join(typed, "\n") + "\n"
}

// A person who types in what stands on the paper has the checkpoint, letter by
// letter, and it verifies; with a name so long that its lines must be cut, too.
func TestACheckpointCanBeTypedIn(t *testing.T) {
	for _, origin := range []string{"alder-yard.invalid/record", "a-workshop-with-a-rather-long-name.alder-yard.invalid/records/of/the/north/bath/since/2026"} {
		t.Run(origin, func(t *testing.T) {
			for range 20 { // signatures differ, and so does where their lines are cut
				s := american()
				var verifier note.Verifier
				s.Record.Checkpoint, verifier = signed(t, origin)
				typed := typedIn(t, drawnSheet(t, s))
				if typed != s.Record.Checkpoint {
					t.Fatalf("typed in:\n%s\nwant\n%s", typed, s.Record.Checkpoint)
				}
				if _, err := note.Open([]byte(typed), note.VerifierList(verifier)); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// Words in place of a checkpoint are printed as they are.
func TestASheetWithoutACheckpointSaysSo(t *testing.T) {
	s := yard()
	s.Record.Checkpoint = "no checkpoint covers this batch yet"
	mustRead(t, drawnSheet(t, s), "checkpoint no checkpoint covers this batch yet")
	s.Record.Checkpoint = ""
	mustRead(t, drawnSheet(t, s), "checkpoint not entered")
}

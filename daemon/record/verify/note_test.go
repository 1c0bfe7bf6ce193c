package verify

import (
	"strings"
	"testing"
)

// The example of C2SP signed-note.md, and the one of tlog-checkpoint.md.
const (
	c2spKey  = "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k"
	c2spNote = "This is an example message.\n\n" +
		"— example.com/foo Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM=\n"
	c2spCheckpoint = "example.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n"
)

// The signature of the published example is right, and wrong over anything else.
func TestThePublishedNoteIsSigned(t *testing.T) {
	k := must(parseKey(c2spKey))
	n := must(parseNote(c2spNote))
	if right, claims := n.signed(k); !right || !claims {
		t.Errorf("right %v, claims %v; want both", right, claims)
	}
	for i := range len(n.text) {
		changed := []byte(n.text)
		changed[i] ^= 1
		if right, _ := (note{text: string(changed), signatures: n.signatures}).signed(k); right {
			t.Fatalf("the signature holds for %q", changed)
		}
	}
}

// Signatures of others beside it, sixteen and more, are passed over.
func TestSignaturesOfUnknownKeysArePassedOver(t *testing.T) {
	others := strings.Repeat("— example.com/other AAAAAAAA\n", 20)
	text, mine, _ := strings.Cut(c2spNote, "\n\n")
	n, err := parseNote(text + "\n\n" + others + mine)
	if err != nil {
		t.Fatal(err)
	}
	if right, _ := n.signed(must(parseKey(c2spKey))); !right || len(n.signatures) != 21 {
		t.Errorf("of %d signatures none is right", len(n.signatures))
	}
}

// A key with one wrong letter anywhere is refused: its ID holds name and key together.
func TestAMistypedKeyIsRefused(t *testing.T) {
	for i := range len(c2spKey) {
		typed := []byte(c2spKey)
		if typed[i]++; typed[i] == '+' {
			typed[i]++
		}
		if k, err := parseKey(string(typed)); err == nil {
			t.Errorf("%q was taken as %08x", typed, k.id)
		}
	}
}

// What the format forbids is no note.
func TestWhatIsNoNoteIsRefused(t *testing.T) {
	for _, text := range []string{
		"", "\n", "text\n", "text\n\n", "text\n\n— name\n", "text\n\n- name AAAAAAAA\n", "text\n\n— na+me AAAAAAAA\n",
		"text\n\n— name AAAA\n", "text\n\n— name AAAAAAAA", "te\rxt\n\n— name AAAAAAAA\n", "te\x00xt\n\n— name AAAAAAAA\n", "te\xffxt\n\n— name AAAAAAAA\n",
	} {
		if n, err := parseNote(text); err == nil {
			t.Errorf("%q was taken as %+v", text, n)
		}
	}
}

// The published checkpoint is read; one with a leading zero, a sign or a short root is not.
func TestThePublishedCheckpointIsRead(t *testing.T) {
	c, err := parseCheckpoint(c2spCheckpoint)
	if err != nil || c.origin != "example.com/behind-the-sofa" || c.size != 20852163 || c.root.String() != "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=" || c.seq != -1 {
		t.Errorf("got %+v, %v", c, err)
	}
	for _, wrong := range []string{
		strings.Replace(c2spCheckpoint, "208", "0208", 1), strings.Replace(c2spCheckpoint, "208", "+208", 1), strings.Replace(c2spCheckpoint, "208", "-208", 1),
		strings.Replace(c2spCheckpoint, "CsUY", "", 1), strings.Replace(c2spCheckpoint, "20852163\n", "", 1), "\n" + c2spCheckpoint, c2spCheckpoint + "seq x\n",
	} {
		if c, err := parseCheckpoint(wrong); err == nil {
			t.Errorf("%q was taken as %+v", wrong, c)
		}
	}
}

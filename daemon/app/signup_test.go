package app

import (
	"slices"
	"strings"
	"testing"

	"bainward/daemon/record"
)

// Whose phone is called, and who saw to that, is in the record and in the log of the
// bath; the phone's address is in neither. What is refused or changes nothing leaves
// no entry.
func TestTheRecordSaysWhosePhoneIsCalled(t *testing.T) {
	s := newSignedIn(t)
	const first, second = "https://push.example/t0psecret-a", "https://push.example/t0psecret-b"
	ctx := t.Context()
	s.mustDo(s.app.SignUp(ctx, "Sorrel", "kitchen phone", []byte(subscription(first)), "Robin"))
	s.mustDo(s.app.Renew(ctx, first, []byte(subscription(second)), "Sorrel"))
	s.mustDo(s.app.SignOff(ctx, second, ""))
	s.mustDo(s.app.SignOff(ctx, second, "Robin")) // again, which is nothing
	refused := []error{
		s.app.SignUp(ctx, "Juniper", "", []byte(subscription(first)), "Robin"), s.app.SignUp(ctx, "Sorrel", "", []byte("{}"), "Robin"),
		s.app.Renew(ctx, first, []byte(subscription(second)), "Robin"),
	}
	if slices.Contains(refused, nil) {
		t.Errorf("what cannot be gives %v", refused)
	}
	want := []record.Phone{
		{What: "signed up", Contact: "Sorrel", Device: "kitchen phone", By: "Robin"},
		{What: "renewed", Contact: "Sorrel", Device: "kitchen phone", By: "Sorrel"},
		{What: "signed off", Contact: "Sorrel", Device: "kitchen phone", By: "somebody at the page"},
	}
	if got := bodiesOf[record.Phone](s.kitchen, record.KindPhone); !slices.Equal(got, want) {
		t.Errorf("the record says\n%+v, want\n%+v", got, want)
	}
	if log := logOf(s.kitchen); !strings.Contains(log, "phone of Sorrel (kitchen phone) signed up, Robin") {
		t.Errorf("the log says\n%s", log)
	}
	for _, e := range s.entries() {
		if strings.Contains(string(e.Body), "t0psecret") {
			t.Errorf("entry %d holds the address of a phone: %s", e.Seq, e.Body)
		}
	}
}

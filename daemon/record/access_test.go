package record

import (
	"testing"
	"time"
)

// An access says what happened, and to whom if a name was known; anything else is
// refused before it is written.
func TestAccessSaysWhatHappenedAtTheDoor(t *testing.T) {
	for b, want := range map[Access]bool{
		{What: "signed in", Who: "Robin", From: "network"}: true,
		{What: "signed out", Who: "Robin", From: "here"}:   true,
		{What: "signed in"}:                                          false,
		{What: "refused", Tries: 3, From: "network"}:                 true,
		{What: "refused", Who: "Robin", Tries: 1}:                    true,
		{What: "refused", Who: "Robin"}:                              false,
		{What: "locked out", From: "network"}:                        true,
		{What: "knocked"}:                                            false,
		{What: "locked out", From: "192.0.2.7"}:                      false,
		{What: "signed in", Who: "Robin", From: "network", Tries: 0}: true,
	} {
		e, err := Of(time.Second, time.Unix(0, 0), "", b)
		if (err == nil) != want {
			t.Errorf("%+v: %v, want taken %v", b, err, want)
			continue
		}
		var back Access
		if want && (e.Kind != KindAccess || e.Decode(&back) != nil || back != b) {
			t.Errorf("%+v comes back as %+v of kind %s", b, back, e.Kind)
		}
	}
}

package record

import (
	"testing"
	"time"
)

// What changed about people, phones and the steps of a calibration says by whom;
// anything that does not is refused before it is written.
func TestWhatPeopleChangeSaysByWhom(t *testing.T) {
	for b, want := range map[Body]bool{
		&Person{What: "added", Who: "Robin", Role: "keeper", By: "x"}:                                      true,
		&Person{What: "added", Who: "Robin", By: "x"}:                                                      false,
		&Person{What: "removed", Who: "Robin", By: "x"}:                                                    true,
		&Person{What: "removed", Who: "Robin"}:                                                             false,
		&Person{What: "password set", Who: "Robin", Role: "keeper", By: "x", Mark: "00", At: "2026-03-01"}: false,
		&Person{What: "password set", Who: "Robin", By: "x", Mark: "00", At: "2026-03-01T09:00:00.001Z"}:   true,
		&Person{What: "password set", Who: "Robin", By: "x"}:                                               false,
		&Person{What: "password removed", Who: "Robin", By: "x"}:                                           true,
		&Person{What: "password removed", By: "x"}:                                                         false,
		&Person{What: "crowned", Who: "Robin", By: "x"}:                                                    false,
		&Phone{What: "signed up", Contact: "Robin", By: "Sorrel"}:                                          true,
		&Phone{What: "signed up", By: "Sorrel"}:                                                            false,
		&Phone{What: "signed off", Contact: "Robin"}:                                                       false,
		&Phone{What: "rung", Contact: "Robin", By: "Sorrel"}:                                               false,
		&Calibrating{Probe: "28-000005fba71c", Step: "started", By: "Robin"}:                               true,
		&Calibrating{Probe: "28-000005fba71c", Step: "started"}:                                            false,
		&Calibrating{Probe: "28-000005fba71c", Step: "ended"}:                                              false,
		&Calibrating{Probe: "28-000005fba71c", Step: "ended", Why: "the ice has melted"}:                   true,
		&Calibrating{Probe: "28-000005fba71c", Step: "boiled", By: "Robin"}:                                false,
		&Calibrating{Step: "started", By: "Robin"}:                                                         false,
	} {
		if _, err := Of(time.Second, time.Unix(0, 0), "", b); (err == nil) != want {
			t.Errorf("%+v: %v, want taken %v", b, err, want)
		}
	}
}

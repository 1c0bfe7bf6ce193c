package people

import (
	"fmt"
	"os"
	"testing"
	"testing/synctest"
	"time"
)

// A new password, a forgotten one, a sign-out on the command line and another role
// in the site file each end the sessions of that person alone, without a restart
// where the file of passwords says so.
func TestSessionsEndWithWhatOpenedThem(t *testing.T) {
	for what, change := range map[string]func(h *house) error{
		"another password": func(h *house) error { return h.book.SetPassword("Sorrel", "bucket moss nine river", time.Now()) },
		"forgotten":        func(h *house) error { return h.book.Forget("sorrel", time.Now()) },
		"signed out":       func(h *house) error { return h.book.SignOut("Sorrel", time.Now()) },
		"the file is gone": nil,
		"another role":     nil,
	} {
		t.Run(what, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h := newHouse(t)
				robin, sorrel := h.in("Robin", robinsWords), h.in("Sorrel", sorrelsWords)
				h.mustBeIn(sorrel, true, "before")
				robinStays := true
				switch what {
				case "another role":
					h.close()
					h.open([]Person{{"Robin", Keeper}, {"Sorrel", Viewer}})
				case "the file is gone":
					robinStays = false
					if err := os.Remove(h.book.Path()); err != nil {
						t.Fatal(err)
					}
				default:
					if err := change(h); err != nil {
						t.Fatal(err)
					}
				}
				time.Sleep(lookEvery)
				h.mustBeIn(sorrel, false, "Sorrel after")
				h.mustBeIn(robin, robinStays, "Robin after")
				h.close()
			})
		})
	}
}

// A session that nobody uses ends after half a day, one that is used after a week.
func TestSessionsEndByThemselves(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		defer h.close()
		left, used := h.in("Robin", robinsWords), h.in("Robin", robinsWords)
		for at := time.Hour; at < Absolute; at += time.Hour {
			time.Sleep(time.Hour)
			h.mustBeIn(used, true, fmt.Sprintf("used after %s", at))
			if at == Idle-time.Hour {
				if s := h.door.sessions.open[sumOf(left)]; s.over(time.Now()) {
					t.Error("the other is over too early")
				}
			}
		}
		h.mustBeIn(left, false, "unused")
		time.Sleep(time.Hour)
		h.mustBeIn(used, false, "used, after a week")
	})
}

// A restart of the daemon sends nobody to the door; one without a clock does not
// believe sessions from its future.
func TestSessionsOutliveARestart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		robin := h.in("Robin", robinsWords)
		h.close()
		h.open(everybody)
		h.mustBeIn(robin, true, "after a restart")
		h.door.SignOut(robin, "here")
		h.mustBeIn(robin, false, "signed out")
		h.close()
		h.open(everybody)
		defer h.close()
		h.mustBeIn(robin, false, "signed out before the restart")
	})
	s := session{Began: time.Now().Add(clockSlack + time.Hour), Seen: time.Now()}
	if !s.over(time.Now()) {
		t.Error("a session that began the day after tomorrow is believed")
	}
}

// More browsers than one person has push out the one that was not used for longest.
func TestSessionsOfOnePersonAreBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		defer h.close()
		sorrel := h.in("Sorrel", sorrelsWords)
		var robin []string
		for range perPerson + 1 {
			robin = append(robin, h.in("Robin", robinsWords))
			time.Sleep(time.Second)
		}
		h.mustBeIn(robin[0], false, "the first")
		h.mustBeIn(robin[1], true, "the second")
		h.mustBeIn(sorrel, true, "somebody else")
	})
}

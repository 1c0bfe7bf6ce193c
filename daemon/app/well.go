package app

import "time"

// wellFor is how old the newest recorded poll may be while all is well.
const wellFor = 15 * time.Second

// Well says whether the baths are being watched and recorded at this instant, and
// if not, why. It is what the heartbeat goes by: the disk being full is as bad for
// a person elsewhere as the daemon being dead.
func (a *App) Well() (ok bool, why string) {
	all := a.Snapshots()
	if len(all) == 0 {
		return false, "no bath was polled yet"
	}
	now := a.uptimeOffset()
	for _, s := range all {
		if age := now - s.At; age > max(wellFor, 3*a.opt.Every) {
			return false, "bath " + s.Bath + " was last polled and recorded " + age.Round(time.Second).String() + " ago"
		}
	}
	return true, ""
}

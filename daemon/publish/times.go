package publish

import (
	"time"

	"bainward/rules/balance"
)

// timesDocument is a range of times to come, RFC 3339 in UTC. A time that is
// not known, is not in sight, or was reached already is null.
type timesDocument struct {
	P10 *string `json:"p10"`
	P50 *string `json:"p50"`
	P90 *string `json:"p90"`
}

func timesOf(wall time.Time, r balance.Range) timesDocument {
	return timesDocument{comes(wall, r.P10), comes(wall, r.P50), comes(wall, r.P90)}
}

// beyond is from where on the rules reckon no more: a day, s.
const beyond = 86400

// comes is the time seconds after wall, if it is still to come.
func comes(wall time.Time, seconds float64) *string {
	if !(seconds > 0 && seconds < beyond) { // NaN is neither
		return nil
	}
	at := stamp(wall.Add(time.Duration(seconds * float64(time.Second))).Round(time.Second))
	return &at
}

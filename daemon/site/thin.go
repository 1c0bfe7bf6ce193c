package site

import "time"

// Thin says what becomes of old readings that belong to no batch. The zero Thin
// keeps all of them.
type Thin struct {
	After time.Duration // readings that are older
	Every time.Duration // one in so much time is kept
}

type thinTable struct {
	AfterDays float64 `toml:"after_days"`
	EveryS    float64 `toml:"every_s"`
}

// Ranges of thinning. A month is the least for which alarms are judged (ISA-18.2
// wants 30 days of data); ten years is how long cosmetics files are kept
// (Regulation (EC) 1223/2009, Article 11).
const (
	minThinDays, maxThinDays     = 31, 3653
	minThinEveryS, maxThinEveryS = 2, 3600
)

// thin checks [thin].
func (c *checker) thin(t thinTable) Thin {
	if !c.given("thin") {
		return Thin{}
	}
	days := c.number("thin", "after_days", t.AfterDays, minThinDays, maxThinDays, "how old readings outside batches are when they are thinned out")
	every := c.number("thin", "every_s", t.EveryS, minThinEveryS, maxThinEveryS, "one reading in so many seconds is kept")
	return Thin{After: time.Duration(days * float64(24*time.Hour)), Every: time.Duration(every * float64(time.Second))}
}

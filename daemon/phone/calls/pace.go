package calls

import (
	"strconv"
	"time"

	"bainward/rules/alarm"
)

// mayLeave tells whether a notice may go to one person through one channel now,
// or is to wait and be joined by others. No notice follows another as grave
// within the plan's GroupWithin, and none goes beyond the budget of its rank;
// the first word of a critical call needs no budget.
func (b *Book) mayLeave(p *Plan, at time.Duration, contact, channel string, r rank, firstCritical bool) bool {
	left := 0
	for _, m := range b.sent {
		if m.contact != contact || m.channel != channel || at-m.at >= Span {
			continue
		}
		if m.rank >= r && at-m.at < p.groupWithin() {
			return false
		}
		left++
	}
	return firstCritical || left < p.budget(r)
}

// budget is how many notices may have left within the last Span for one more of
// this rank to leave.
func (p *Plan) budget(r rank) int {
	halves := overHalfMosts
	if r >= rankLow {
		halves = rungOf(alarm.Priority(r - rankLow)).halfMosts
	}
	return max(1, p.most()*halves/2)
}

func noticeID(at time.Duration) string { return "n" + strconv.FormatInt(at.Milliseconds(), 10) }

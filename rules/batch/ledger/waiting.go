package ledger

// Waiting counts the bottles that Due would list. It is for those who ask often:
// bottles that were filled together and never moved share one date.
func (l *Ledger) Waiting(today Day) int {
	n := 0
	for _, b := range l.batches {
		dates := map[int64]Day{} // by the entry that filled them
		for _, o := range b.bottles {
			if o.left > 0 && (o.rancid() || b.goodUntil(o, dates).Before(today) || l.smellDue(o, today)) {
				n++
			}
		}
	}
	return n
}

// smellDue reports whether somebody should smell at the bottle.
func (l *Ledger) smellDue(o *bottle, today Day) bool {
	due, _ := l.smellAgain(o)
	return !today.Before(due)
}

func (b *batch) goodUntil(o *bottle, dates map[int64]Day) Day {
	if len(o.stays) > 1 {
		return Day(b.useBy(o).By)
	}
	if _, known := dates[o.filled.Seq]; !known {
		dates[o.filled.Seq] = Day(b.useBy(o).By)
	}
	return dates[o.filled.Seq]
}

package ledger

import "slices"

// Newest lists some of the batches, the newest first: count of them, after skip,
// and how many there are in all. The balance of each has to be struck for it, so
// whoever shows a few asks for a few.
func (l *Ledger) Newest(skip, count int) (lines []Line, all int) {
	numbers := l.batchNumbers()
	slices.Reverse(numbers)
	all = len(numbers)
	skip = min(max(skip, 0), all)
	numbers = numbers[skip:min(skip+max(count, 0), all)]
	part := Ledger{batches: l.batches, numbers: numbers}
	return part.Batches(), all
}

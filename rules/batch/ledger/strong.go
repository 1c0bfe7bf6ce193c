package ledger

// Strength tells how strong the oil of a batch is: what Account says of it, and
// nothing else. The error is an *UnknownError.
func (l *Ledger) Strength(number string) (Strength, error) {
	b := l.batches[number]
	if b == nil {
		return Strength{}, l.noBatch(number)
	}
	return b.shownStrength(), nil
}

package ledger

// Named returns the fact with the number of its batch or product filled in; same
// is false, and the fact as it was, if it names another.
func Named(f Fact, number string) (named Fact, same bool) {
	if of := f.of(); of != "" {
		return f, of == number
	}
	switch f := f.(type) {
	case Opened:
		f.Batch = number
		return f, true
	case Closed:
		f.Batch = number
		return f, true
	case Material:
		f.Batch = number
		return f, true
	case Weighing:
		f.Batch = number
		return f, true
	case Bottles:
		f.Batch = number
		return f, true
	case Moved:
		f.Batch = number
		return f, true
	case Given:
		f.Batch = number
		return f, true
	case Smelled:
		f.Batch = number
		return f, true
	case Deviation:
		f.Batch = number
		return f, true
	}
	return f, false
}

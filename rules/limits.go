package rules

// Limits holds what each rule goes by. Each rule's file says what its limits
// mean and where they come from.
type Limits struct{}

// DefaultLimits returns the limits that hold when the site file names none.
func DefaultLimits() Limits { return Limits{} }

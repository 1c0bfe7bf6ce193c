package record

import (
	"fmt"
	"math"
	"strconv"
)

// Number is a float64 that JSON can carry exactly: not-a-number is null, the
// infinities are the words "inf" and "-inf".
type Number float64

// MarshalJSON writes the shortest text that reads back as the same number.
func (n Number) MarshalJSON() ([]byte, error) {
	f := float64(n)
	switch {
	case math.IsNaN(f):
		return []byte("null"), nil
	case math.IsInf(f, 1):
		return []byte(`"inf"`), nil
	case math.IsInf(f, -1):
		return []byte(`"-inf"`), nil
	}
	return strconv.AppendFloat(nil, f, 'g', -1, 64), nil
}

// UnmarshalJSON reads what MarshalJSON writes.
func (n *Number) UnmarshalJSON(text []byte) error {
	switch string(text) {
	case "null":
		*n = Number(math.NaN())
		return nil
	case `"inf"`:
		*n = Number(math.Inf(1))
		return nil
	case `"-inf"`:
		*n = Number(math.Inf(-1))
		return nil
	}
	f, err := strconv.ParseFloat(string(text), 64)
	if err != nil {
		return fmt.Errorf("%s is not a number: want one, null, \"inf\" or \"-inf\"", text)
	}
	*n = Number(f)
	return nil
}

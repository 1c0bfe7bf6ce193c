package barometer

import (
	"context"

	"bainward/sensors"
)

// None is the barometer of a site that has none. Its pressure is always
// NotFitted, upon which the elevation stands in.
type None struct{}

var _ sensors.Barometer = None{}

// Pressure returns NotFitted.
func (None) Pressure(context.Context) sensors.Pressure {
	return sensors.Pressure{Fault: sensors.NotFitted}
}

// Close does nothing.
func (None) Close() error { return nil }

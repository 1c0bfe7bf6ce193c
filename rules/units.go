package rules

import (
	"fmt"
	"math"
	"time"
)

// Units says how people read quantities; inside, everything is metric.
type Units uint8

// The systems of units a site can choose.
const (
	Metric Units = iota
	US
)

// Temp writes a temperature, such as "95.1 °C".
func (u Units) Temp(c float64) string {
	if u == US {
		return fmt.Sprintf("%.1f °F", float64(c*1.8)+32)
	}
	return fmt.Sprintf("%.1f °C", c)
}

// TempDiff writes a difference of temperatures.
func (u Units) TempDiff(c float64) string {
	if u == US {
		return fmt.Sprintf("%.1f °F", c*1.8)
	}
	return fmt.Sprintf("%.1f °C", c)
}

// Water writes an amount of water as a maker would measure it.
func (u Units) Water(kg float64) string {
	if u == US {
		return fmt.Sprintf("%.0f fl oz", kg/0.0295735295625)
	}
	if kg < 1 {
		return fmt.Sprintf("%.0f ml", math.Round(kg*100)*10)
	}
	return fmt.Sprintf("%.1f l", kg)
}

// Minutes writes a duration in minutes and hours for people.
func Minutes(d time.Duration) string {
	m := int64((d + 30*time.Second) / time.Minute)
	if d < 90*time.Second {
		return fmt.Sprintf("%d s", int64((d+time.Second/2)/time.Second))
	}
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

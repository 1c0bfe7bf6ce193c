package w1_test

import (
	"fmt"
	"testing"

	"bainward/sensors"
)

// A probe that has just been plugged in shows the power-on value once, then what
// it measured.
func TestAFirstReadingOf85IsTheChipsRestart(t *testing.T) {
	r := newRig(t)
	r.slave(oil, textPowerOn)
	r.open().want("first", oil, sensors.Failed(sensors.PowerOn))
	r.slave(oil, text27_5)
	r.want("then", oil, sensors.AtCelsius(27.5))
}

func TestATrue85PassesAtOnce(t *testing.T) {
	r := newRig(t)
	r.slave(oil, textTrue85)
	r.open().want("85 °C with byte 6 at 10h", oil, sensors.AtCelsius(85))
}

// nearCopy is 84.9375 °C (054Fh) from a copy that keeps 0Ch in byte 6. It is
// constructed; the checksum is by the rule of Maxim Application Note 27.
func nearCopy() string {
	pad := []byte{0x4F, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10}
	crc := sensors.CRC8(pad)
	return fmt.Sprintf("% x %02x : crc=%02x YES\n", pad, crc, crc)
}

func TestACopyNear85IsBelievedAndNotAfterItWasLost(t *testing.T) {
	r := newRig(t)
	r.slave(oil, nearCopy())
	r.open().want("just below", oil, sensors.AtCelsius(84.9375))
	r.slave(oil, textPowerOn)
	r.want("on the way up", oil, sensors.AtCelsius(85))
	r.slave(oil, "")
	r.want("unplugged", oil, sensors.Failed(sensors.Absent))
	r.slave(oil, textPowerOn)
	r.want("plugged in again", oil, sensors.Failed(sensors.PowerOn))
}

func TestEachProbeHasItsOwnHistory(t *testing.T) {
	r := newRig(t)
	r.slave(oil, nearCopy())
	r.slave(bath, textPowerOn)
	r.open().read(oil, bath)
	r.slave(oil, textPowerOn)
	samples := r.read(oil, bath)
	wantReading(t, "copy near 85 °C", samples[0].Reading, sensors.AtCelsius(85))
	wantReading(t, "restarted", samples[1].Reading, sensors.Failed(sensors.PowerOn))
}

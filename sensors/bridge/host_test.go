package bridge

import (
	"strings"
	"testing"
)

func TestAHostWithoutI2CSaysHowToEnableIt(t *testing.T) {
	_, err := busNumber("I2C1", nil)
	if err == nil || !strings.Contains(err.Error(), "dtparam=i2c_arm=on") || !strings.Contains(err.Error(), `"I2C1"`) {
		t.Errorf("got %v, want the bus and dtparam=i2c_arm=on", err)
	}
}

func TestABusIsNamedInThreeWays(t *testing.T) {
	for name, want := range map[string]int{"": 1, "1": 1, "I2C1": 1, "/dev/i2c-20": 20} {
		if got, err := busNumber(name, []int{1, 20}); err != nil || got != want {
			t.Errorf("%q: got %d, %v; want %d", name, got, err, want)
		}
	}
	for _, name := range []string{"I2C3", "spi", "/dev/i2c-"} {
		if got, err := busNumber(name, []int{1, 20}); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%q: got %d, %v; want an error that names it", name, got, err)
		}
	}
}

func TestAHostBusThatIsNotThereIsAnError(t *testing.T) {
	if _, err := OpenHost("I2C9999", 0, Options{}); err == nil {
		t.Error("opened a bus that cannot be there")
	}
}

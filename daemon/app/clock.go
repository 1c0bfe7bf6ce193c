package app

import (
	"os"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// Clock is where the daemon gets its time from.
type Clock struct {
	// Boot names this boot of the machine. Uptimes of one boot can be compared.
	Boot string
	// Uptime is the time since that boot, sleep included. It never jumps.
	Uptime func() time.Duration
	// Wall is the time of day, for people. It may jump.
	Wall func() time.Time
}

// MachineClock returns the machine's own clock. CLOCK_BOOTTIME goes on while a
// machine sleeps, unlike the clock inside time.Time (clock_gettime(2)).
func MachineClock() Clock {
	return Clock{Boot: bootID(), Uptime: bootTime, Wall: time.Now}
}

func bootID() string {
	b, err := os.ReadFile("/proc/sys/kernel/random/boot_id")
	if err != nil {
		return "" // then no two runs are taken to share a boot
	}
	return strings.TrimSpace(string(b))
}

// bootTime panics where there is no such clock: every Linux since 2.6.39 has
// it, and without it nothing here could be counted.
func bootTime() time.Duration {
	var ts unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_BOOTTIME, &ts); err != nil {
		panic("bainward: the machine has no clock that counts from its start: " + err.Error())
	}
	return time.Duration(ts.Nano())
}

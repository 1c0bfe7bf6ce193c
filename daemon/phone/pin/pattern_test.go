package pin

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/rules/alarm"
)

// rises lists when a pattern switches on, within so long.
func (p pattern) rises(within time.Duration) []time.Duration {
	var all []time.Duration
	was := false
	for at := time.Duration(0); at < within; {
		on, lasts := p.at(at)
		if on && !was {
			all = append(all, at)
		}
		was, at = on, at+lasts
	}
	return all
}

func (p pattern) share() float64 {
	return float64(time.Duration(p.strokes)*p.on) / float64(p.round())
}

// WCAG 2.2, success criterion 2.3.1: no more than three flashes in any one second.
func TestNoLampFlashesMoreThanThreeTimesInASecond(t *testing.T) {
	for p := alarm.Low; p <= alarm.Critical; p++ {
		rises := patternOf(p).rises(2 * time.Minute)
		if len(rises) < 2 {
			t.Fatalf("%s: %d strokes in two minutes", p, len(rises))
		}
		for i := 3; i < len(rises); i++ {
			if rises[i]-rises[i-3] < time.Second {
				t.Errorf("%s: four flashes from %v to %v", p, rises[i-3], rises[i])
			}
		}
	}
}

// Faster and denser is graver (the idea of IEC 60601-1-8, from memory), and the
// number of strokes alone tells the priority too.
func TestTheGraverTheFasterAndTheDenser(t *testing.T) {
	for p := alarm.Medium; p <= alarm.Critical; p++ {
		grave, less := patternOf(p), patternOf(p-1)
		if grave.strokes <= less.strokes {
			t.Errorf("%s has %d strokes, %s has %d", p, grave.strokes, p-1, less.strokes)
		}
		if grave.share() < 1.5*less.share() {
			t.Errorf("%s is on for %.3f of the time, %s for %.3f", p, grave.share(), p-1, less.share())
		}
		if grave.round() >= less.round() || grave.pause >= less.pause {
			t.Errorf("%s comes again no sooner than %s", p, p-1)
		}
		if less.strokes > 1 && grave.on+grave.off >= less.on+less.off {
			t.Errorf("%s strokes no faster than %s", p, p-1)
		}
	}
}

// A relay needs some 10 ms to close and a buzzer some 50 ms to speak (common
// practice, no source); and a critical alarm is never silent for a whole second.
func TestStrokesCanBeHeard(t *testing.T) {
	for p := alarm.Low; p <= alarm.Critical; p++ {
		if on := patternOf(p).on; on < 100*time.Millisecond {
			t.Errorf("%s: a stroke lasts only %v", p, on)
		}
	}
	if pause := patternOf(alarm.Critical).pause; pause >= time.Second {
		t.Errorf("a critical alarm is silent for %v", pause)
	}
}

// The page that people read holds these patterns.
func TestThePatternsAreThoseOfThePage(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "..", "deploy", "outputs.md"))
	if err != nil {
		t.Fatal(err)
	}
	for p := alarm.Low; p <= alarm.Critical; p++ {
		x, off := patternOf(p), " "
		if x.off > 0 {
			off = fmt.Sprintf(" %d ms ", x.off.Milliseconds())
		}
		row := fmt.Sprintf("| %s | %d | %d ms |%s| %d ms |", p, x.strokes, x.on.Milliseconds(), off, x.pause.Milliseconds())
		if !strings.Contains(string(page), row) {
			t.Errorf("deploy/outputs.md lacks the row %q", row)
		}
	}
}

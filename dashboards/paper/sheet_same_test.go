package paper_test

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"testing"
	"testing/synctest"
	"time"
)

// The same batch gives the same bytes when it is drawn again, and when the clock
// shows another year.
func TestTheSameBatchGivesTheSameBytes(t *testing.T) {
	want := drawnSheet(t, yard())
	if !bytes.Equal(drawnSheet(t, yard()), want) {
		t.Error("drawn again it differs")
	}
	now := time.Now().Year()
	synctest.Test(t, func(t *testing.T) {
		if time.Now().Year() == now {
			t.Fatal("the bubble's clock shows the same year")
		}
		if !bytes.Equal(drawnSheet(t, yard()), want) {
			t.Error("drawn in another year it differs")
		}
	})
}

// asked makes this test program draw a sheet and print its sum, in the surroundings
// that another test gave it.
const asked = "BAINWARD_PAPER_SUM"

// The zone of the machine, its language and the number of its processors change
// nothing.
func TestTheMachineChangesNothing(t *testing.T) {
	sum := fmt.Sprintf("%x", sha256.Sum256(drawnSheet(t, american())))
	if os.Getenv(asked) != "" {
		fmt.Println("sum", sum)
		return
	}
	for _, surroundings := range [][]string{
		{"TZ=Pacific/Kiritimati", "GOMAXPROCS=1", "LC_ALL=C"},
		{"TZ=America/St_Johns", "GOMAXPROCS=7", "LC_ALL=ar_EG.UTF-8"},
	} {
		cmd := exec.Command(os.Args[0], "-test.run=^TestTheMachineChangesNothing$", "-test.count=1")
		cmd.Env = append(append(os.Environ(), surroundings...), asked+"=1")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %v\n%s", surroundings, err, out)
		}
		if !bytes.Contains(out, []byte("sum "+sum)) {
			t.Errorf("%v: want sum %s, got\n%s", surroundings, sum, out)
		}
	}
}

// An entry that is added changes the sheet, and so does the date of the record.
func TestAnotherBatchGivesOtherBytes(t *testing.T) {
	want := drawnSheet(t, yard())
	s := yard()
	s.Deeds = s.Deeds[1:]
	if bytes.Equal(drawnSheet(t, s), want) {
		t.Error("a deed less changes nothing")
	}
	s = yard()
	s.AsOf = s.AsOf.Add(time.Minute)
	if bytes.Equal(drawnSheet(t, s), want) {
		t.Error("another date changes nothing")
	}
}

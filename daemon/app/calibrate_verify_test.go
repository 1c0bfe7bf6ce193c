package app

import (
	"testing"
	"time"

	"bainward/daemon/record/verify"
)

// A record with a calibration that waited for the end of a batch is sound to the
// verifier, and all in it follows from what was measured.
func TestARecordWithACalibrationIsSound(t *testing.T) {
	k := newCalibrator(t)
	k.hold()
	k.did("strain; bottle 640 ml")
	k.through(0.25, 99.5)
	k.mustDo(k.app.KeepCalibration(t.Context(), bathProbe, "Robin"))
	k.did("fill 1.8 kg; charge 220 g; light")
	k.read(40, 60)
	k.pollFor(time.Minute)
	if k.bathCorrection().Uncertainty == 0 {
		t.Fatal("the second batch does not go by the calibration")
	}
	k.kill()
	defer k.start() // so that there is something to clean up
	report, err := verify.Folder(t.Context(), k.dir, verify.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range report.Findings {
		t.Errorf("found: %+v", f)
	}
}

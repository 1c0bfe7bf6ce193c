package pin

import (
	"context"
	"fmt"
	"time"
)

// steadyProof is how long a steady pin is on for a proof: long enough to look up.
const steadyProof = 2 * time.Second

// proof is one wish that the pin be proved.
type proof struct{ result chan<- proofResult }

type proofResult struct {
	answer string
	err    error
}

// Prove plays one round of the pattern for critical alarms, or switches a steady
// pin on for two seconds, and returns what was done. Whether it was seen or heard
// only a person can say. An alarm comes first: while one shows, nothing is
// played, and one that comes ends the proof; the answer says so. Prove ends
// when ctx does. It needs a running Run.
func (out *Output) Prove(ctx context.Context) (answer string, err error) {
	result := make(chan proofResult, 1) // the player never waits for us
	select {
	case out.proofs <- proof{result}:
	case <-out.ended:
		return "", out.notRunning()
	case <-ctx.Done():
		return "", fmt.Errorf("prove %s of channel %q: %w", out.o.Pin.Name(), out.o.Name, ctx.Err())
	}
	select {
	case r := <-result:
		return r.answer, r.err
	case <-out.ended:
		return "", out.notRunning()
	case <-ctx.Done():
		return "", fmt.Errorf("prove %s of channel %q: %w", out.o.Pin.Name(), out.o.Name, ctx.Err())
	}
}

func (out *Output) notRunning() error {
	return fmt.Errorf("prove %s of channel %q: the daemon is ending, the pin is off", out.o.Pin.Name(), out.o.Name)
}

// prove begins a proof, in place of one that may be playing.
func (p *player) prove(pr proof, now time.Time) {
	p.endProof("another proof began", nil)
	p.proof, p.proved = &pr, now
}

// provingAt is how a proof wants the pin so long after it began.
func (p *player) provingAt(since time.Duration) (on bool, lasts time.Duration, over bool) {
	if p.o.Steady {
		return true, steadyProof - since, since >= steadyProof
	}
	pattern := proofPattern()
	if since >= pattern.sounding() {
		return false, 0, true
	}
	on, lasts = pattern.at(since)
	return on, lasts, false
}

// played says what a proof did.
func (p *player) played() string {
	if p.o.Steady {
		return fmt.Sprintf("%s was on for %v; only you can say whether it was seen or heard", p.o.Pin.Name(), steadyProof)
	}
	return fmt.Sprintf("%s was on %d times; only you can say whether it was seen or heard", p.o.Pin.Name(), proofPattern().strokes)
}

// endProof tells whoever waits for the proof, if one is playing.
func (p *player) endProof(answer string, err error) {
	if p.proof != nil {
		p.proof.result <- proofResult{answer, err}
		p.proof = nil
	}
}

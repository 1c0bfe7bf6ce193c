package phone

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
)

// Options is what a desk needs. Only Channels is required.
type Options struct {
	Channels []notice.Channel
	Logger   *slog.Logger  // nil: silent
	Timeout  time.Duration // of one try; 0: DefaultTimeout
	Capacity int           // notices that may wait for one channel; 0: DefaultCapacity
	// Finish adds what is made for one try alone, such as the link that answers
	// these calls, and the picture. It runs within the try; nil: nothing is added.
	Finish func(n notice.Notice, calls []string) notice.Notice
	// Secrets are cut out of all that channels say, in case one forgot.
	Secrets []notice.Secret
}

// What holds where the options say nothing.
const (
	// DefaultTimeout: a mail server may take five seconds to greet; what has not
	// answered in fifteen is tried again rather than waited for (common practice,
	// no source).
	DefaultTimeout = 15 * time.Second
	// DefaultCapacity is far beyond what the budgets of daemon/phone/calls let
	// gather in a day; it bounds the memory if something else goes wrong.
	DefaultCapacity = 500
)

// Desk delivers notices. All its methods may be called from any goroutine.
type Desk struct {
	lines  map[string]*line
	order  []*line // as in Options
	ledger ledger
}

// New returns a desk whose notices wait until Run.
func New(o Options) (*Desk, error) {
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	if o.Timeout <= 0 {
		o.Timeout = DefaultTimeout
	}
	if o.Capacity <= 0 {
		o.Capacity = DefaultCapacity
	}
	d := &Desk{lines: map[string]*line{}, ledger: ledger{ready: make(chan struct{}, 1)}}
	for _, c := range o.Channels {
		if c == nil {
			return nil, errors.New("phone: option Channels holds a nil")
		}
		if d.lines[c.Name()] != nil {
			return nil, fmt.Errorf("phone: two channels are named %q: names must differ", c.Name())
		}
		l := newLine(c, &o, &d.ledger)
		d.lines[c.Name()] = l
		d.order = append(d.order, l)
	}
	return d, nil
}

// Run delivers until ctx ends; then tries under way are cancelled. It returns
// when all have ended, or a moment later if one does not heed ctx. Tries that it
// cut off have no outcome.
func (d *Desk) Run(ctx context.Context) {
	var running sync.WaitGroup
	for _, l := range d.order {
		for i := range senders {
			running.Go(func() { l.work(ctx, i) })
		}
	}
	running.Wait()
}

// Hand takes notices over. They must be in the record. One that the desk holds
// already is passed over; one that takes an older one's place (calls.Due's
// Supersedes) withdraws that.
func (d *Desk) Hand(errands ...Errand) {
	now := time.Now()
	for _, e := range errands {
		if l := d.lines[e.Channel]; l != nil {
			l.hand(now, e)
			continue
		}
		d.ledger.add(calls.Tried{Notice: e.ID, Try: e.Tries, Result: calls.GaveUp, Said: "there is no channel of that name any more"})
	}
}

// Withdraw takes back every notice all of whose calls have ended. Those that
// tell that something is over, and proofs, stay.
func (d *Desk) Withdraw(ended ...string) {
	for _, l := range d.order {
		l.withdraw(ended)
	}
}

// Settle runs commit, which records that calls have ended. Meanwhile no try
// begins for a notice about them alone, so that nothing is sent after the record
// says that it is over. If commit succeeds the notices are withdrawn, else they
// go on as before. It returns the error of commit.
func (d *Desk) Settle(ended []string, commit func() error) error {
	for _, l := range d.order {
		l.hold(ended, 1)
	}
	defer func() {
		for _, l := range d.order {
			l.hold(ended, -1)
		}
	}()
	if err := commit(); err != nil {
		return err
	}
	d.Withdraw(ended...)
	return nil
}

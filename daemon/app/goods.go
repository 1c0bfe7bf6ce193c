package app

import (
	"context"
	"errors"
	"fmt"
	"time"

	"bainward/daemon/record"
	"bainward/rules/batch/ledger"
)

// openBooks reads the books of goods from the record.
func (a *App) openBooks(ctx context.Context) error {
	l, misfits, err := ReadBooks(ctx, a.record.Reader)
	if err != nil {
		return err
	}
	if a.clocks, err = readClocks(ctx, a.record.Reader); err != nil {
		return err
	}
	for _, misfit := range misfits {
		a.opt.Logger.Warn("keep the books of goods", "error", misfit)
	}
	a.books = l
	return nil
}

// Books lets read look at the books of goods as they stand, and at today's day. What
// is entered meanwhile goes into others, so that read may take as long as it likes
// and holds nobody up.
func (a *App) Books(read func(l *ledger.Ledger, today ledger.Day)) {
	a.mu.RLock()
	l := a.books
	a.mu.RUnlock()
	read(l, a.today(a.opt.Clock.Wall()))
}

// today is the day at the site at an instant.
func (a *App) today(now time.Time) ledger.Day { return ledger.DayAt(now.In(a.opt.Site.Clock())) }

var errNobody = errors.New("who enters it? Give a name or initials")

// Enter records what happened to goods and returns it with what the books filled
// in: the numbers of new bottles, and the maceration of the batch in hand.
func (a *App) Enter(ctx context.Context, f ledger.Fact, who string) (ledger.Fact, error) {
	if who == "" {
		return nil, errNobody
	}
	done := f
	err := a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		done = a.inHand(a.books.Complete(f))
		if err := a.books.Allows(ledger.Entry{When: d.wall, Day: d.day, Who: who, Fact: done}); err != nil {
			return err
		}
		body, err := record.GoodsOf(done, who)
		if err != nil {
			return err
		}
		switch done.(type) {
		case ledger.Bottles, ledger.Moved, ledger.Given:
			a.cutPlaces(d)
		}
		d.add(a.books.Bath(ledger.Of(done)), body)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return done, nil
}

// inHand says of what belongs to a batch on a bath, and names no maceration, that
// it is of the one which is going on.
func (a *App) inHand(f ledger.Fact) ledger.Fact {
	for _, b := range a.baths {
		if b.batch == "" || b.batch != ledger.Of(f) {
			continue
		}
		switch g := f.(type) {
		case ledger.Material:
			if g.Pass == 0 {
				g.Pass = b.state.Rules.Pass()
			}
			return g
		case ledger.Weighing:
			if g.Pass == 0 {
				g.Pass = b.state.Rules.Pass()
			}
			return g
		}
	}
	return f
}

// TakeBack takes an entry of goods back: it stays, and a later one says that it is
// void. It is refused while other entries build on it.
func (a *App) TakeBack(ctx context.Context, entry int64, reason, who string) error {
	if who == "" {
		return errNobody
	}
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		return a.takeBack(d, entry, reason, who)
	})
}

// takeBack drafts the correction of an entry of goods. It is an entry of the
// site: nothing that the rules of a bath judge changes by it.
func (a *App) takeBack(d *draft, entry int64, reason, who string) error {
	if err := a.books.AllowsVoid(entry); err != nil {
		return err
	}
	d.add("", record.Correction{Voids: entry, Reason: reason, By: who})
	return nil
}

// keepBooks takes a recorded entry into the books: into a clone, for pages may be
// reading those that were shown to them, and no lock is held while they do.
func (a *App) keepBooks(e record.Entry) {
	if e.Kind != record.KindBatch && e.Kind != record.KindCorrection && e.Kind != record.KindStorage && !e.Kind.Goods() {
		return
	}
	next := a.books.Clone()
	if err := keep(next, e, a.clocks); err != nil {
		a.opt.Logger.Error("keep the books of goods", "entry", e.Seq, "error", err)
		return
	}
	a.books = next
}

// goodsInWords says an entry of goods on one line; nothing of any other.
func goodsInWords(e record.Entry) (string, error) {
	if !e.Kind.Goods() {
		return "", nil
	}
	f, _, err := e.Fact()
	if err != nil {
		return "", err
	}
	text := ledger.Of(f.Fact) + ", " + f.Fact.String()
	if f.Who != "" {
		text += fmt.Sprintf(" (%s)", f.Who)
	}
	return text, nil
}

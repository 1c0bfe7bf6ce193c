package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/cautions"
	"bainward/rules/batch/label"
	"bainward/rules/batch/ledger"
)

// ReadSheet gathers the sheet of a batch: what ISO 22716:2007, 7.2, asks of a
// batch record. All of it comes from the record, but for the typefaces, and for the
// site's name in a record that does not hold it; s may be nil. So it is dated by the
// last entry that went in, and reads the same at any time and from any copy of the
// record, until an entry that concerns the batch is added. Its times are those that the
// clocks of the site showed. Whoever draws it adds the version of the program.
//
// The error is a *ledger.UnknownError if the record does not hold the opening of
// such a batch.
func ReadSheet(ctx context.Context, r *record.Reader, s *site.Site, number string) (paper.BatchSheet, error) {
	w := sheetWriter{site: s}
	if err := w.read(ctx, r, number); err != nil {
		return paper.BatchSheet{}, err
	}
	if err := w.checkpoint(ctx, r); err != nil {
		return paper.BatchSheet{}, fmt.Errorf("read the checkpoints of batch %s: %w", number, err)
	}
	if err := w.signatures(ctx, r); err != nil {
		return paper.BatchSheet{}, fmt.Errorf("read who signed batch %s: %w", number, err)
	}
	w.head()
	w.wentIn()
	w.happened()
	w.cameOut()
	w.who()
	return w.out, nil
}

// sheetWriter fills a sheet from what it read.
type sheetWriter struct {
	site    *site.Site
	where   clocks
	out     paper.BatchSheet
	account ledger.Account
	told    *retelling
	watch   sheetWatch
	opening *rules.Config  // that held when the batch was opened
	facts   []ledger.Entry // of goods, that count and stand on the sheet
	checks  record.Ticked
	checked bool
	used    usedEntry
	covers  map[int64]bool // sizes of the checkpoints that cover it
	signed  []numberedDeed

	opened record.Entry // of the batch
}

// usedEntry is the last entry that went into a sheet.
type usedEntry struct {
	seq  int64
	wall time.Time
}

func (u *usedEntry) take(e record.Entry) {
	if e.Seq > u.seq {
		u.seq, u.wall = e.Seq, e.Wall
	}
}

// read reads all of the record that concerns the batch.
func (w *sheetWriter) read(ctx context.Context, r *record.Reader, number string) error {
	books, _, err := ReadBooks(ctx, r) // what does not fit there is told by whoever keeps them
	if err != nil {
		return err
	}
	if w.account, err = books.Account(number); err != nil {
		return err
	}
	b, _, err := findBatch(ctx, r, number)
	if err != nil {
		return err
	}
	if w.where, err = readClocks(ctx, r); err != nil {
		return err
	}
	if w.told, err = retell(ctx, r, b, w.where, w.look); err != nil {
		return err
	}
	w.used.take(w.told.last)
	w.opened = b.Opened
	lists, err := r.Checklists(ctx)
	if err != nil {
		return err
	}
	w.checks, w.checked = lists.Of(number)
	var goods usedEntry
	w.facts, goods, err = factsOf(ctx, r, number)
	if goods.seq > w.used.seq {
		w.used = goods
	}
	return err
}

// factsOf reads the facts of a batch that stand on its papers: how it was made and
// bottled, and where it was put. What was later given away or smelled at does not.
// used is the last entry that has to do with them, corrections included.
func factsOf(ctx context.Context, r *record.Reader, number string) (facts []ledger.Entry, used usedEntry, err error) {
	entries, err := r.Goods(ctx)
	if err != nil {
		return nil, used, err
	}
	ours, void := map[int64]bool{}, map[int64]bool{}
	for _, e := range entries {
		if e.Kind == record.KindCorrection {
			var c record.Correction
			if err := e.Decode(&c); err != nil {
				return nil, used, err
			}
			void[c.Voids] = true
			if ours[c.Voids] {
				used.take(e)
			}
			continue
		}
		f, ok, err := e.Fact()
		if err != nil {
			return nil, used, err
		}
		if !ok || !onPaper(e.Kind) || ledger.Of(f.Fact) != number {
			continue
		}
		ours[e.Seq] = true
		used.take(e)
		facts = append(facts, f)
	}
	return slices.DeleteFunc(facts, func(f ledger.Entry) bool { return void[f.Seq] }), used, nil
}

func onPaper(k record.Kind) bool {
	return k.Goods() && k != record.KindGiven && k != record.KindSmelled
}

// look watches the batch go by.
func (w *sheetWriter) look(t *retelling, e record.Entry, in rules.Input) {
	if w.opening == nil {
		w.opening = t.cfg
	}
	w.watch.look(t, e, in)
}

// head fills in what the batch is called and when and where it was made.
func (w *sheetWriter) head() {
	o := &w.out
	o.Number, o.Bath = w.account.Batch, w.account.Bath
	place := w.where.at(w.opened.Seq)
	o.Site, o.Zone = place.Name, place.Zone
	o.Made, o.AsOf = w.account.Opened.In(place.clock), w.where.wall(w.used.seq, w.used.wall)
	o.Verdict = w.told.course.Verdict
	if w.site != nil {
		o.Site, o.Fonts = cmp.Or(o.Site, w.site.Name), w.site.Maker.LabelFonts
	}
	o.Units = unitsOf(w.opening)
	o.OilMaxC = orNaN(w.told.course.OilMaxC)
	o.Record.File, o.Record.Entries = "record.db", w.used.seq
	made := w.made()
	o.Product = label.Make(label.Batch{Herbs: made.herbs, Oils: made.oils}).Title
	o.Cautions = cautions.For(cautions.Preparation{
		Herbs: partNames(made.herbs), Oils: partNames(made.oils), Fresh: made.fresh,
		WaterLeft: waterSeen(w.facts) == ledger.WaterIn, GivenAway: true,
	})
}

package verify

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"time"
)

// Options says what the record is held against, and how.
type Options struct {
	Key       string   // the verifier key that should have signed; empty: not known
	Witnesses []string // verifier keys of others who sign its checkpoints
	Held      []Held   // checkpoints kept elsewhere
	Workers   int      // 0: as many as there are processors
	SkipFold  bool     // do not fold the readings again
	Version   string   // of this program, to tell rules that changed
}

// Folder verifies the record at path, its folder or its file, and changes
// nothing there. The error says that it could not be verified at all; what is
// wrong with it is in the report.
func Folder(ctx context.Context, path string, o Options) (r Report, err error) {
	began := time.Now()
	if o.Workers < 1 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	s, err := newSigning(o)
	if err != nil {
		return r, fmt.Errorf("verify record: %w", err)
	}
	file, err := open(ctx, path)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, file.close()) }()
	r.Path = file.path
	v := verifier{file: file, options: o, report: &r, signed: s, found: s.found}
	if err := v.run(ctx); err != nil {
		return r, fmt.Errorf("verify record %s: %w", file.path, err)
	}
	r.Findings, r.More = append([]Finding{}, v.found.list...), v.found.more()
	r.Clean = len(r.Findings) == 0
	r.Totals.Seconds = time.Since(began).Seconds()
	return r, nil
}

func newSigning(o Options) (*signing, error) {
	s := &signing{found: &findings{}, held: o.Held, wanted: map[int64]*peak{}, cosigners: map[string]*cosigner{}}
	var err error
	if o.Key != "" {
		if s.given, err = parseKey(o.Key); err != nil {
			return nil, err
		}
	}
	for _, text := range o.Witnesses {
		w, err := parseKey(text)
		if err != nil {
			return nil, err
		}
		s.witnesses = append(s.witnesses, w)
	}
	for _, h := range o.Held {
		s.want(h.size)
	}
	return s, nil
}

// verifier goes through one record, part by part.
type verifier struct {
	file    *opened
	options Options
	report  *Report
	signed  *signing
	found   *findings
	baths   map[int64]string
	thinned map[int64]*thinned // by leaf
}

func (v *verifier) note(about, format string, args ...any) {
	v.report.Notes = append(v.report.Notes, Note{about, fmt.Sprintf(format, args...)})
}

func (v *verifier) run(ctx context.Context) error {
	format, err := v.layout(ctx)
	if err != nil || format == 0 {
		return err
	}
	v.report.Totals.Format = format
	if err := v.prepare(ctx); err != nil {
		return v.damaged(ctx, err)
	}
	if v.options.SkipFold {
		if err := v.audit(ctx); err != nil {
			return v.damaged(ctx, err)
		}
		v.note(AboutNotFolded, "what was judged was not held against the readings.")
		return nil
	}
	return v.damaged(ctx, v.auditAndFold(ctx))
}

// auditAndFold does both at once: the audit waits for the file more than it
// reckons. What the fold came to is told after it, and not at all if the file
// cannot be read.
func (v *verifier) auditAndFold(ctx context.Context) error {
	folding, stop := context.WithCancel(ctx)
	defer stop()
	var folded *joints
	var foldErr error
	done := make(chan struct{})
	go func() {
		defer close(done)
		folded, foldErr = v.fold(folding)
	}()
	err := v.audit(ctx)
	if err != nil {
		stop()
	}
	<-done
	if err != nil || foldErr != nil {
		return cmp.Or(err, foldErr)
	}
	return folded.tell()
}

// damaged makes a finding of an error of SQLite: the file that it was given is
// what is looked into here. Only an end of ctx is an error.
func (v *verifier) damaged(ctx context.Context, err error) error {
	if err == nil || ctx.Err() != nil {
		return ctx.Err()
	}
	v.found.add(Finding{Kind: DamagedFile, Expected: "a file that SQLite can read", Found: err.Error()})
	return nil
}

// prepare reads what the rest needs to know beforehand.
func (v *verifier) prepare(ctx context.Context) error {
	var err error
	if v.baths, err = readBaths(ctx, v.file.db); err != nil {
		return fmt.Errorf("read the names of the baths: %w", err)
	}
	if err := v.readThinned(ctx); err != nil {
		return err
	}
	rows, err := v.file.db.QueryContext(ctx, "SELECT body ->> 'size' FROM entry WHERE kind IN ('cosignature', 'signature') AND json_valid(body)")
	if err != nil {
		return fmt.Errorf("look for what others signed: %w", err)
	}
	defer rows.Close()
	for rows.Next() {
		var size int64
		if rows.Scan(&size) == nil {
			v.signed.want(size)
		}
	}
	return rows.Err()
}

// audit goes through every leaf and every open reading.
func (v *verifier) audit(ctx context.Context) error {
	kept, err := openHashes(ctx, v.file.db)
	if err != nil {
		return fmt.Errorf("read the hashes of the tree: %w", err)
	}
	defer kept.rows.Close()
	rows, err := openRows(ctx, v.file.db, v.baths)
	if err != nil {
		return fmt.Errorf("read the leaves: %w", err)
	}
	defer rows.close()
	a := newAuditor(v, kept)
	if a.starts, err = readStarts(ctx, v.file.db); err != nil {
		return err
	}
	a.signed.grew(&a.tree) // a checkpoint of nothing is one, too
	if err := v.openReadings(ctx, a); err != nil {
		return err
	}
	if err := eachLeaf(ctx, rows, v.options.Workers, a.take); err != nil {
		return err
	}
	a.done()
	if err := errors.Join(rows.err(), kept.rows.Err(), rows.packs.done(v.found), looseStrays(ctx, v.file.db, v.found)); err != nil {
		return err
	}
	size := a.tree.size
	v.report.Notes = append(v.report.Notes, v.signed.settleKey(size)...)
	v.report.Notes = append(v.report.Notes, v.signed.settleHeld(size)...)
	v.report.Notes = append(v.report.Notes, v.signed.settleCosigned()...)
	v.report.Notes = append(v.report.Notes, v.signed.settleTail(size)...)
	v.tell(a)
	return nil
}

// tell says what the audit cannot show.
func (v *verifier) tell(a *auditor) {
	vouched := len(v.signed.held) > 0
	for _, c := range v.signed.cosigners {
		vouched = vouched || c.known
	}
	if !vouched {
		v.note(AboutNothingHeld, "nothing outside this record vouches for it: give a checkpoint that was kept elsewhere (--held), or whoever holds its key can have rewritten it.")
	}
	if n := v.report.Totals.OpenReadings; n > 0 {
		v.note(AboutOpenReadings, "the last %d readings are not sealed yet: nothing holds them but the file.", n)
	}
	if n := v.report.Totals.Thinned; n > 0 {
		v.note(AboutThinned, "%d readings between batches were thinned out: their hashes are held against the tree, what they were and what was judged of them can no longer be seen.", n)
	}
	for _, kind := range slices.Sorted(maps.Keys(a.strange)) {
		v.note(AboutUnknownKind, "%d entries of kind %q, which this version does not know, were held against the tree and not understood.", a.strange[kind], kind)
	}
}

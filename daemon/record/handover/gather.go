package handover

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"bainward/daemon/record"
	"bainward/rules/batch/ledger"
	"bainward/rules/trace"
)

// batch is what a hand-over of one is made of.
type batch struct {
	number, bath, site string
	leaves             []record.Leaf
	trace              []trace.Row
	note, key          string
	proof              Proof
	later              int // leaves about it that no checkpoint covers
}

// gather reads all there is of a batch.
func gather(ctx context.Context, r *record.Reader, number string) (*batch, error) {
	of, err := find(ctx, r, number)
	if err != nil {
		return nil, err
	}
	head, note, err := newest(ctx, r)
	if err != nil {
		return nil, err
	}
	b := &batch{number: number, bath: of.Opened.Bath, note: note}
	if b.key, err = keyOf(ctx, r, head.Size); err != nil {
		return nil, err
	}
	void, later, err := afterwards(ctx, r, of)
	if err != nil {
		return nil, err
	}
	numbers, err := leavesOf(ctx, r, of, later)
	if err != nil {
		return nil, err
	}
	covered, _ := slices.BinarySearch(numbers, head.Size)
	b.later = len(numbers) - covered
	numbers = numbers[:covered]
	if closing, _, err := r.LeafOf(ctx, of.Closed.Seq); err != nil || closing >= head.Size {
		return nil, errors.Join(err, errors.New("no checkpoint covers its end yet: let the daemon make one"))
	}
	if b.leaves, err = read(ctx, r, numbers); err != nil {
		return nil, err
	}
	if b.trace, err = traceOf(ctx, r, of, void); err != nil {
		return nil, err
	}
	b.proof, err = prove(numbers, head.Size, Hash(head.Root), func(level int, n int64) (Hash, error) {
		h, err := r.Subtree(ctx, level, n)
		return Hash(h), err
	})
	return b, err
}

// find returns the batch of that number, if it is over.
func find(ctx context.Context, r *record.Reader, number string) (record.BatchEntries, error) {
	all, err := r.Batches(ctx)
	if err != nil {
		return record.BatchEntries{}, err
	}
	i := slices.IndexFunc(all, func(b record.BatchEntries) bool { return b.Batch.Number == number })
	switch {
	case i < 0:
		return record.BatchEntries{}, errors.New("it is not in the record; bainward batch list shows what is")
	case all[i].Open():
		return record.BatchEntries{}, errors.New("it is still open: bottle or abandon it first")
	case all[i].Opened.Seq == 0:
		return record.BatchEntries{}, errors.New("the record does not hold its opening")
	}
	return all[i], nil
}

// newest returns the last checkpoint of the record.
func newest(ctx context.Context, r *record.Reader) (head record.TreeHead, note string, err error) {
	for c, err := range r.Checkpoints(ctx) {
		if err != nil {
			return head, "", err
		}
		head, note = c.Head, c.Note
	}
	if note == "" {
		return head, "", errors.New("the record has no checkpoint yet: let the daemon start once")
	}
	return head, note, nil
}

// keyOf returns the key that signs a checkpoint of that size: the last before it.
func keyOf(ctx context.Context, r *record.Reader, size int64) (string, error) {
	keys, err := r.OfKind(ctx, record.KindKey)
	if err != nil {
		return "", err
	}
	found := ""
	for _, e := range keys {
		leaf, _, err := r.LeafOf(ctx, e.Seq)
		if err != nil {
			return "", err
		}
		var k record.Key
		if err := e.Decode(&k); err != nil {
			return "", err
		}
		if leaf < size {
			found = k.VKey
		}
	}
	return found, nil
}

// afterwards returns which entries were taken back, and the numbers of those
// about the batch that lie outside its days on the bath: its checklist, its goods,
// what took them back, signatures, and the record's keys, and how the clocks of the
// site stood.
func afterwards(ctx context.Context, r *record.Reader, of record.BatchEntries) (void map[int64]bool, later []int64, err error) {
	void = map[int64]bool{}
	about := map[int64]bool{}
	goods, err := r.Goods(ctx)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range goods {
		switch {
		case e.Kind.Goods():
			f, _, err := e.Fact()
			if err != nil {
				return nil, nil, err
			}
			about[e.Seq] = ledger.Of(f.Fact) == of.Batch.Number
		case e.Kind == record.KindCorrection:
			var c record.Correction
			if err := e.Decode(&c); err != nil {
				return nil, nil, err
			}
			void[c.Voids] = true
			about[e.Seq] = about[c.Voids]
		}
	}
	others, err := r.OfKind(ctx, record.KindKey, record.KindSite, record.KindSignature)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range others {
		var s record.Signature
		switch e.Kind {
		case record.KindKey:
			about[e.Seq] = true
		case record.KindSite: // by it the batch is dated
			about[e.Seq] = e.Seq < of.Closed.Seq
		default:
			about[e.Seq] = e.Decode(&s) == nil && s.Batch == of.Batch.Number
		}
	}
	lists, err := r.Checklists(ctx)
	if err != nil {
		return nil, nil, err
	}
	if t, ok := lists.Of(of.Batch.Number); ok {
		about[t.Seq] = true
	}
	for seq, yes := range about {
		if yes {
			later = append(later, seq)
		}
	}
	return void, later, nil
}

// leavesOf returns the numbers of the batch's leaves, in order: the config that
// held when it was opened, all of its bath and of the site from its opening to its
// closing, and those entries beside.
func leavesOf(ctx context.Context, r *record.Reader, of record.BatchEntries, beside []int64) ([]int64, error) {
	seqs := beside
	for e, err := range r.OfBatch(ctx, of) {
		if err != nil {
			return nil, err
		}
		seqs = append(seqs, e.Seq)
		break // the config alone: the rest lies together
	}
	var numbers []int64
	for _, seq := range append(seqs, of.Opened.Seq, of.Closed.Seq) {
		n, _, err := r.LeafOf(ctx, seq)
		if err != nil {
			return nil, err
		}
		numbers = append(numbers, n)
	}
	first, last := numbers[len(numbers)-2], numbers[len(numbers)-1]
	for l, err := range r.Leaves(ctx, first, last) {
		if err != nil {
			return nil, err
		}
		mine, err := concerns(l, of.Opened.Bath)
		if err != nil {
			return nil, err
		}
		if mine {
			numbers = append(numbers, l.Number)
		}
	}
	slices.Sort(numbers)
	return slices.Compact(numbers), nil
}

// concerns reports whether a leaf is of the bath, or of the site.
func concerns(l record.Leaf, bath string) (bool, error) {
	if l.Line == nil {
		return false, nil // thinned out: no reading of a batch ever is
	}
	var head struct {
		Bath     json.RawMessage `json:"bath"` // of a block: what the bath probe read
		Readings *string         `json:"readings"`
	}
	if err := json.Unmarshal(l.Line, &head); err != nil {
		return false, fmt.Errorf("leaf %d: %w", l.Number, err)
	}
	if head.Readings != nil {
		return *head.Readings == bath, nil
	}
	var of string
	if err := json.Unmarshal(head.Bath, &of); err != nil {
		return false, fmt.Errorf("leaf %d: %w", l.Number, err)
	}
	return of == "" || of == bath, nil
}

// read reads the leaves of those numbers.
func read(ctx context.Context, r *record.Reader, numbers []int64) ([]record.Leaf, error) {
	leaves := make([]record.Leaf, 0, len(numbers))
	for len(numbers) > 0 {
		run := 1
		for run < len(numbers) && numbers[run] == numbers[0]+int64(run) {
			run++
		}
		for l, err := range r.Leaves(ctx, numbers[0], numbers[run-1]) {
			if err != nil {
				return nil, err
			}
			if l.Line == nil {
				return nil, fmt.Errorf("leaf %d was thinned out", l.Number)
			}
			leaves = append(leaves, l)
		}
		numbers = numbers[run:]
	}
	return leaves, nil
}

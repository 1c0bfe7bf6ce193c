package app

import (
	"bytes"
	"errors"
	"testing"

	"bainward/daemon/web"
	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// The pages get what the command draws. Without a size it is the smallest sheet
// that holds the labels, on the paper of those who read the units.
func TestLabelsAreDrawnOnTheSmallestSheetThatHoldsThem(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	for units, page := range map[rules.Units]paper.Size{rules.Metric: paper.A4(), rules.US: paper.Letter()} {
		var out bytes.Buffer
		d, err := DrawLabels(t.Context(), &out, k.app.record.Reader, k.madeBy(units), number, k.app.opt.Version, web.LabelAsk{})
		if err != nil {
			t.Fatal(err)
		}
		if d.Paper.Page != page || len(d.Labels) != 2 || !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) {
			t.Errorf("%d labels of %s, %d bytes", len(d.Labels), d.Paper, out.Len())
		}
		for _, smaller := range paper.LabelLayouts() {
			if smaller.Page == page && smaller.Name == d.Paper.Name {
				break
			}
			var none bytes.Buffer
			_, err := DrawLabels(t.Context(), &none, k.app.record.Reader, k.madeBy(units), number, "", web.LabelAsk{Size: smaller.Name})
			if noRoom := (*paper.NoRoomError)(nil); smaller.Page == page && !errors.As(err, &noRoom) {
				t.Errorf("%s was passed over, and yet: %v", smaller, err)
			}
		}
	}
}

// The pages draw what the command draws, byte by byte.
func TestThePagesDrawTheSameLabels(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	ask := web.LabelAsk{Size: "99.1x57", Bottles: []int{2}, Skip: 3}
	var out bytes.Buffer
	d, err := DrawLabels(t.Context(), &out, k.app.record.Reader, k.site, number, k.app.opt.Version, ask)
	if err != nil || len(d.Labels) != 1 || d.Labels[0].Bottle != number+"/2" {
		t.Fatalf("drew %+v, %v", d.Labels, err)
	}
	pdf, err := k.app.LabelsPDF(t.Context(), number, ask)
	if err != nil || !bytes.Equal(pdf, out.Bytes()) {
		t.Errorf("the pages drew %d bytes, the command %d: %v", len(pdf), out.Len(), err)
	}
	var _ web.Papers = k.app
}

// Labels that cannot be drawn write nothing; of no batch the pages can tell.
func TestLabelsThatCannotBeDrawnWriteNothing(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	for _, ask := range []web.LabelAsk{{Size: "1x1"}, {Single: true}, {Single: true, Size: "25x25"}, {Skip: 999}, {Bottles: []int{1}, Blank: 1}} {
		var out bytes.Buffer
		if _, err := DrawLabels(t.Context(), &out, k.app.record.Reader, k.site, number, "", ask); err == nil || out.Len() > 0 {
			t.Errorf("%+v: %v, %d bytes", ask, err, out.Len())
		}
	}
	var unknown *ledger.UnknownError
	if _, err := k.app.LabelsPDF(t.Context(), "b9", web.LabelAsk{}); !errors.As(err, &unknown) {
		t.Errorf("of no batch: %v", err)
	}
}

package app

import (
	"context"

	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/dashboards"
)

// The pages of goods look at the books through these.
var (
	_ web.Goods     = (*App)(nil)
	_ web.GoodsPast = (*App)(nil)
)

// GoodsPast returns every entry of goods in order, those that were taken back with
// why. The books themselves know only what counts.
func (a *App) GoodsPast(ctx context.Context) ([]dashboards.GoodsEntry, error) {
	entries, err := a.record.Reader.Goods(ctx)
	if err != nil {
		return nil, err
	}
	var all []dashboards.GoodsEntry
	at := map[int64]int{} // where an entry is in all
	for _, e := range entries {
		switch {
		case e.Kind == record.KindCorrection:
			var c record.Correction
			if err := e.Decode(&c); err != nil {
				return nil, err
			}
			if i, goods := at[c.Voids]; goods {
				all[i].Void = &dashboards.GoodsVoid{Entry: e.Seq, When: e.Wall, Who: c.By, Reason: c.Reason}
			}
		case e.Kind.Goods():
			f, _, err := e.Fact()
			if err != nil {
				return nil, err
			}
			at[e.Seq] = len(all)
			all = append(all, dashboards.GoodsEntry{Entry: f})
		}
	}
	return all, nil
}

package dashboards

import (
	"slices"
	"strconv"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// wentRows lists where the bottles of a batch and what was made of them went, in
// the order of time.
func wentRows(u rules.Units, d BatchData) []WentRow {
	var rows []WentRow
	for _, o := range d.Account.Bottles {
		for _, g := range o.Given {
			rows = append(rows, WentRow{
				When: g.When, Who: g.Who, Much: millilitres(u, g.Ml), From: "bottle " + strconv.Itoa(o.Number),
				To: g.To, Product: g.Product, Name: g.Name, Thrown: g.Thrown, Despite: g.Despite,
			})
		}
	}
	for _, r := range d.Into.References {
		if batch, _, ok := ledger.ParseBottle(r.From); ok && batch == d.Account.Batch {
			continue // said above
		}
		rows = append(rows, referenceRow(u, r))
	}
	slices.SortStableFunc(rows, func(a, b WentRow) int { return a.When.Compare(b.When) })
	return rows
}

func referenceRow(u rules.Units, r ledger.Reference) WentRow {
	much := r.Much
	if a, err := ledger.ParseAmount(much); err == nil {
		much = amountWords(u, a)
	}
	return WentRow{When: r.When, Who: r.Who, Much: much, From: r.From, To: r.To}
}

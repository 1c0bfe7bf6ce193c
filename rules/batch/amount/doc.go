// Package amount reckons with figures that are not known exactly and writes
// them for people: masses, volumes, lengths and times, metric or US.
//
// A figure is a Range as in rules/balance: one in ten below P10, half below P50,
// one in ten above P90. Where a source gives only a span, its ends stand as P10
// and P90: the sources are few, and a plant or a pan outside them is no
// surprise. Propagate carries ranges through a formula.
//
// It is part of the pure core: values in, values out.
package amount

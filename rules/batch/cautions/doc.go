// Package cautions holds what people should know before they make, use, give
// away or sell a macerated oil, as data: each caution with what it is about and
// where it comes from. Start with For.
//
// It is no medical and no legal advice, and it is not complete. A herb that is
// not in the tables is answered too: nothing is known here about it, ask. A
// herb without a caution of its own is not thereby harmless, and that is said.
//
// Sources that were remembered rather than read say "from memory".
package cautions

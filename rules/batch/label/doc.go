// Package label gathers what stands on a bottle and on a batch sheet: names,
// ingredients, net content, dates, batch number, cautions. Start with Make. It
// draws nothing.
//
// What is asked for follows Article 19(1) of Regulation (EC) No 1223/2009, as
// far as arithmetic and plain botany can give it, and Missing names what the
// maker must add. It is no legal advice.
package label

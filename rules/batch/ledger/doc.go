// Package ledger keeps the books of what a workshop makes: from which lots each
// batch was made, which bottles it became, where each of them stands, and where
// it went. Start with Ledger: Enter takes facts in the order in which they were
// recorded, and refuses what cannot have happened.
//
// From answers a recall in one question: a lot of herb or oil goes in, and every
// bottle, product and reference that it went into comes out. Behind asks the
// other way round. Account gathers one batch, Due what wants a nose or a bin.
//
// Store takes what was measured of the places where bottles stand; Kept says how warm
// one stood there. It changes no date, but may bring the next smelling forward.
//
// A recall rather finds too much than too little: lots are told apart neither by
// case nor by spaces, and a whole batch is taken to hold some of every lot that
// went into it, and a product of everything that it was made from.
//
// The package knows no person who receives anything. A reference is whatever the
// maker writes to find them again, such as a number in a book that is kept
// elsewhere.
//
// It is part of the pure core: values in, values out; days come with the facts.
package ledger

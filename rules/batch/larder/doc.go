// Package larder knows herbs and oils as stuff: how heavy an oil is at a
// temperature, how much water a herb holds, how much room it takes when it is
// chopped, and what ingredient lists call both. Start with FindOil and ParseName.
//
// Every figure carries its source. Most were taken from memory of the source
// named and say so; what a maker has weighed (Sample) replaces the table.
// A name that is not in the tables gets a stand-in with a wide range, and
// Known tells so.
package larder

// Package strength keeps the books of a macerated oil: how much herb stands
// behind a kilogram of it after one or more macerations, how much oil comes out,
// and what that is in the ways of saying it that are in use. Start with Reckon.
//
// The books go by mass. Whatever the herb gave is taken to be spread evenly
// through the oil, so the oil that stays in a marc, is spilt or set aside takes
// its share along. Two macerations of one part in ten therefore make one part in
// five, however little oil is left at the end.
//
// Three figures that are often confused are kept apart:
//
//   - PerOil, and OneTo: the herb that stands behind a kilogram of the oil.
//   - SolventRatio of a pass: herb put in to oil put in.
//   - DER: herb put in to oil obtained (EMA/HMPC/CHMP/CVMP/287539/2005 Rev. 1).
//     Over several macerations it counts herb whose share stayed in the marcs,
//     so it is no strength.
package strength
